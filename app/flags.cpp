#include "flags.hpp"

#include <algorithm>
#include <array>

namespace ductledger::app {

// Each in a file of its own, `command_NAME.cpp`.
Exit run_batch(const Options& options);
Exit run_check(const Options& options);
Exit run_commission(const Options& options);
Exit run_compare(const Options& options);
Exit run_explain(const Options& options);
Exit run_fittings(const Options& options);
Exit run_fmt(const Options& options);
Exit run_measured(const Options& options);
Exit run_new(const Options& options);
Exit run_parts(const Options& options);
Exit run_report(const Options& options);
Exit run_review(const Options& options);
Exit run_size(const Options& options);
Exit run_sweep(const Options& options);
Exit run_worksheet(const Options& options);

namespace {

constexpr std::array kCommands{
    Command{
        "check",
        "check FILE... [OPTION]...",
        "what a layout delivers, what each piece costs",
        "Reads each layout, crosses the fan with the run and prints the delivered airflow, the "
        "ledger of pressure, every speed and the findings. FILE `-` is standard input.",
        "  ductledger check kitchen.yaml\n"
        "  ductledger check --json --fail-on warn kitchen.yaml bath.yaml\n",
        {1, kAnyNumber, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_check},
    Command{
        "compare",
        "compare FILE... [OPTION]...",
        "runs side by side, and which differences mean something",
        "Calculates two layouts or more, or one layout and its `variants`, each against the first: "
        "airflow, pressure, space, parts, and what differs piece by piece. What both runs share "
        "cancels in the band of a difference.",
        "  ductledger compare kitchen.yaml other-route.yaml\n"
        "  ductledger compare kitchen.yaml as-built.yaml\n",
        {1, kAnyNumber, "layouts to compare", "`ductledger compare one.yaml other.yaml`"},
        run_compare},
    Command{
        "size",
        "size FILE --deliver Q | --makeup [OPTION]...",
        "which duct sizes deliver an airflow, and how far a run may go",
        "Solves the run at every stock size, round, rectangular and oval, and lists those that "
        "deliver the airflow with margin, the smallest first, and why each other one does not. The "
        "smallest that fail narrowly are tried with other elbows and caps. Also the greatest "
        "length, further elbows and the least fan pressure. Exit status 1: no size delivers.",
        "  ductledger size kitchen.yaml --deliver 250cfm\n"
        "  ductledger size kitchen.yaml --deliver 250cfm --max-depth 4in --max-velocity 1500fpm\n",
        {1, 1, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_size},
    Command{
        "parts",
        "parts FILE [OPTION]...",
        "what to buy, cut and drill for a layout",
        "Lists the duct by stock length, fittings, joints, tape, screws and hangers, the cut list "
        "with the fewest sticks, the rough-in holes and the order of work with its cautions.",
        "  ductledger parts kitchen.yaml\n"
        "  ductledger parts kitchen.yaml --stock 10ft,5ft --format csv -o bill.csv\n",
        {1, 1, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_parts},
    Command{
        "report",
        "report FILE... -o OUT.html",
        "a page to attach, print and file",
        "Writes one HTML page: the answer, the route drawn, where the pressure goes, fan and run, "
        "the findings with their remedies, the house, what would help, parts, sources and "
        "cautions. It needs no network and no script. Several layouts, or one with variants, "
        "begin with their comparison. One wrong file, and nothing is written.",
        "  ductledger report kitchen.yaml -o kitchen.html\n"
        "  ductledger report kitchen.yaml --review --rules irc-2021 -o kitchen.html\n"
        "  ductledger report kitchen.yaml --svg route -o route.svg\n",
        {1, kAnyNumber, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_report},
    Command{"worksheet",
            "worksheet [FILE] -o OUT.html",
            "a page on which the route is changed by finger, offline",
            "Writes one HTML page that holds this calculation: it draws the run from pieces, shows "
            "the airflow and the worst finding while they change, and hands over a layout file. It "
            "needs no network and sends nothing. Without FILE it begins with three questions.",
            "  ductledger worksheet -o worksheet.html\n"
            "  ductledger worksheet kitchen.yaml -o kitchen.html\n",
            {0, 1, "a layout file", "`ductledger worksheet kitchen.yaml -o kitchen.html`"},
            run_worksheet},
    Command{
        "review",
        "review FILE... [OPTION]...",
        "which rules a layout meets, does not meet, does not show",
        "Calculates each layout, judges it rule by rule with citations, and does the arithmetic "
        "handed in under `submitted` again. A rule not met counts as fail, one not shown as warn, "
        "one for the authority as note; the findings of `check` count as they do there.",
        "  ductledger review --rules irc-2021,common-practice kitchen.yaml\n"
        "  ductledger review --request kitchen.yaml > to-fill-in.yaml\n"
        "  ductledger review --letter --pdf kitchen.yaml -o letter.pdf\n"
        "  ductledger review as-built.yaml --against kitchen.yaml\n",
        {1, kAnyNumber, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_review},
    Command{
        "batch",
        "batch FILE|FOLDER|PATTERN|-... [OPTION]...",
        "many layouts to a table, on all cores",
        "Calculates every layout and writes a row for each, in the order in which they are named: "
        "paths, quoted patterns, folders (every *.yaml below), or `-`, JSON Lines on standard "
        "input "
        "(a path, or {\"text\": ..., \"name\": ...}). A layout that cannot be calculated is a row "
        "that says why, and the others go on. FILE after `-o` is FILE.part until it is whole.",
        "  ductledger batch kitchen.yaml bath.yaml --format csv -o rows.csv\n"
        "  ductledger batch 'kitchen*.yaml' --study review --columns not_met,not_shown\n",
        {1, kAnyNumber, "layouts", "`ductledger batch layouts/ -o rows.jsonl`"},
        run_batch},
    Command{"sweep",
            "sweep FILE --vary PATH=VALUES... [OPTION]...",
            "the airflow over a range or a sample of any number",
            "Puts every value in place of what the layout states, calculates each, and shows a "
            "table with "
            "bars. Rows go to `-o FILE.csv` or `.jsonl`, a page with a plot to `-o FILE.html`.",
            "  ductledger sweep kitchen.yaml --vary 'run.pieces[3].length=2ft..40ft:20'\n"
            "  ductledger sweep kitchen.yaml --sample 'run.pieces[3].length=uniform(2ft, 20ft)' "
            "--draws "
            "200 -o rows.csv\n",
            {1, 1, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
            run_sweep},
    Command{"explain",
            "explain RULE-OR-FINDING",
            "what a rule or finding asks, why, and how to fix it",
            "Prints the long text of a rule, of a finding of `check`, or the rules of a set, with "
            "its sources.",
            "  ductledger explain prescriptive-duct-length\n"
            "  ductledger explain irc-2021\n",
            {1, 1, "the name of a rule, a finding or a rule set", "`ductledger explain irc-2021`"},
            run_explain},
    Command{
        "commission",
        "commission FILE [OPTION]...",
        "the hand-over sheet: what to read on site, and where",
        "Prints the airflow and static pressure to expect at each speed with their bands, where "
        "to drill, what a loaded filter costs, and what to look at, with blanks to fill in.",
        "  ductledger commission kitchen.yaml\n"
        "  ductledger commission kitchen.yaml --units si -o sheet.txt\n",
        {1, 1, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
        run_commission},
    Command{"measured",
            "measured FILE [--static P] [--airflow Q] [OPTION]...",
            "what readings on site mean",
            "Turns a static pressure at the collar, an airflow or a traverse into the airflow that "
            "runs, holds it against the calculated one and names faults that would explain the "
            "difference. Without a reading the layout's `measurements` are judged.",
            "  ductledger measured kitchen.yaml --static 0.2inH2O --speed high\n"
            "  ductledger measured kitchen.yaml --readings site.yaml\n",
            {1, 1, "a layout file", "`ductledger new kitchen.yaml` writes one to start from"},
            run_measured},
    Command{"new",
            "new FILE [--kind KIND] [--force]",
            "write a commented layout to start from",
            "Writes a small layout whose comments explain its keys. `check` accepts it as it is. "
            "FILE `-` is standard output.",
            "  ductledger new kitchen.yaml\n"
            "  ductledger new dryer.yaml --kind dryer\n"
            "  ductledger new - | ductledger check -\n",
            {1, 1, "the name of a file to write", "`ductledger new kitchen.yaml`"},
            run_new},
    Command{
        "fittings",
        "fittings list|show|plot|evaluate [WORD]...",
        "what the catalogue holds, and where each figure comes from",
        "`list [WORD]...` shows the fittings that hold all words in name, title or sources. "
        "`show KIND/TYPE` tells what one is, what it costs, its parameters and every source. "
        "`plot KIND/TYPE -o FILE.svg` draws the coefficient with the printed points. `evaluate "
        "KIND/TYPE NAME=VALUE...` gives one coefficient, and none outside what the source covers. "
        "Elbows also take `angle=45deg` and `plane=width`, transitions `to='6 in round'`, every "
        "fitting `source=KEY`.",
        "  ductledger fittings list cap\n"
        "  ductledger fittings evaluate elbow/smooth-radius radius_ratio=1 --section '8 in "
        "round'\n",
        {1, kAnyNumber, "list, show, plot or evaluate", "`ductledger fittings list`"},
        run_fittings},
    Command{"fmt",
            "fmt FILE [OPTION]...",
            "a layout in one form, comments kept",
            "Prints a layout, catalogue or rule file with two blanks a level, one blank behind "
            "colon and "
            "comma and no more than one empty line. Comments, order, quotes and the way values are "
            "written stay; what it says is the same. It writes onto no file that it read: -o names "
            "another. With --check nothing is printed; exit status 1: the file has another form.",
            "  ductledger fmt kitchen.yaml -o kitchen-tidy.yaml\n"
            "  ductledger fmt --check kitchen.yaml\n",
            {1, 1, "a file", "`ductledger fmt kitchen.yaml`"},
            run_fmt},
    Command{"help",
            "help [COMMAND] [OPTION]...",
            "all there is to know of a command",
            "Prints the long help, of one command where it is named.",
            "  ductledger help check\n"
            "  ductledger help --as bash > ductledger.bash\n",
            {0, 1, "", "`ductledger help` lists the commands"},
            run_help},
};

}  // namespace

std::span<const Command> commands() { return kCommands; }

const Command* find_command(std::string_view name) {
  const auto* const found = std::find_if(
      kCommands.begin(), kCommands.end(), [&](const Command& c) { return name == c.name; });
  return found == kCommands.end() ? nullptr : &*found;
}

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  names.reserve(kCommands.size());
  for (const Command& command : kCommands) {
    names.emplace_back(command.name);
  }
  return names;
}

const std::vector<Flag>& flags() {
  static const std::vector<Flag> all_flags{
      {"--speed",
       "",
       "NAME",
       {},
       {"batch", "check", "measured", "report", "size", "sweep"},
       "Calculation",
       "the speed whose ledger is shown; of size: that has to deliver",
       "Default: the highest speed that is not locked out. The answer in the first line stays with "
       "that one."},
      {"--advise",
       "",
       "",
       {},
       {"check"},
       "Calculation",
       "also what would help most: changes, each solved again",
       "A ranked table of changes that a person could make (larger duct, other elbows, cap, "
       "flexible "
       "duct, an offset less, ...), the gain at the highest and the lowest speed, what each takes, "
       "and the best pair."},
      {"--samples",
       "",
       "NUMBER",
       {},
       {"check"},
       "Calculation",
       "draw the errors NUMBER times and print that band beside",
       "Without it samples are drawn only where first order does not hold. The "
       "seed is fixed: the same layout gives the same band.",
       {{units::Dimension::number, 100.0, 1e6, "100 to 1000000"}}},
      {"--static",
       "",
       "PRESSURE",
       {},
       {"measured"},
       "Calculation",
       "static pressure read, at the collar or as `--at` says",
       "With its unit, such as 0.42inH2O. Against the room.",
       {{units::Dimension::pressure, -20000.0, 20000.0, "-80 inH2O to 80 inH2O"}}},
      {"--branch",
       "",
       "NAME",
       {},
       {"measured"},
       "Calculation",
       "branch that the reading was taken at",
       "By its name in the layout. Without it a reading is of the run, an airflow of its collar."},
      {"--at",
       "",
       "PLACE",
       {},
       {"measured"},
       "Calculation",
       "where the static pressure was read",
       "collar (default), hole (the one that `commission` names), 'piece 3, 15 in', or fan: the "
       "rise across it."},
      {"--static-accuracy",
       "",
       "ACCURACY",
       {},
       {"measured"},
       "Calculation",
       "what the pressure gauge is good to",
       "'2 %' of the reading, or a pressure; taken as one standard uncertainty. Default: 1 %, at "
       "least 0.2 Pa."},
      {"--airflow-accuracy",
       "",
       "ACCURACY",
       {},
       {"measured"},
       "Calculation",
       "what the airflow was read with is good to",
       "'5 %' of the reading, or an airflow; taken as one standard uncertainty. Default: 18 %, a "
       "plain flow hood."},
      {"--readings",
       "",
       "FILE",
       {},
       {"measured"},
       "Calculation",
       "a file of readings",
       "`readings: 1` with the list `measurements`, as the layout's own."},
      {"--fail-on",
       "",
       "LEVEL",
       {"fail", "warn", "note", "never"},
       {"batch", "check", "report", "review"},
       "Calculation",
       "findings from this level on make the exit status 1",
       "fail (default), warn, note or never."},
      {"--catalogue",
       "",
       "FILE|DIR",
       {},
       {"batch", "check", "compare", "fittings", "parts", "report", "review", "size", "sweep"},
       "Calculation",
       "fittings of your own, added to the catalogue",
       "A file or a folder of files; an entry of the same name replaces ours. Comes on top of the "
       "layout's own `catalogue:`."},
      {"--kind",
       "",
       "KIND",
       {},
       {"fittings", "new"},
       "Calculation",
       "fittings list: only of this kind; new: what to start from",
       "fittings: elbow, transition, damper, cap, screen, filter, entry, flex or junction. new: "
       "bath-fan, dryer, makeup, recirculating or remote-fan; without it a kitchen hood."},
      {"--section",
       "",
       "SECTION",
       {},
       {"fittings"},
       "Calculation",
       "the duct's section, such as '8 in round'",
       "Default: 8 in round, or 10 x 3-1/4 in where a fitting is for rectangular duct alone."},
      {"--airflow",
       "",
       "AIRFLOW",
       {},
       {"fittings", "measured"},
       "Calculation",
       "the airflow for losses and lengths; of measured: read by a flow hood",
       "With its unit, such as 310cfm. Of fittings the default is that of 1000 fpm; of measured a "
       "readings file may name the instrument.",
       {{units::Dimension::airflow, 1e-9, 100.0, "more than 0 cfm, up to 200000 cfm"}}},
      {"--allow-outside",
       "",
       "",
       {},
       {"batch", "check", "compare", "parts", "report", "review", "size", "sweep"},
       "Calculation",
       "the layout's `catalogue:` and `rules:` may lie anywhere",
       "Without it a layout may name a catalogue only in its own folder or below."},
      {"--stock",
       "",
       "LENGTHS",
       {},
       {"parts"},
       "Parts",
       "lengths that duct is sold in, such as 5ft,2ft",
       "Default: 5 ft and 2 ft, of a layout in metric 3 m and 1 m, ends included."},
      {"--overlap",
       "",
       "LENGTH",
       {},
       {"parts"},
       "Parts",
       "how far a joint's inserted end reaches in",
       "Default: 1-1/2 in.",
       {{units::Dimension::length, 0.0, 0.3, "0 in to 11-3/4 in"}}},
      {"--hanger-spacing",
       "",
       "LENGTH",
       {},
       {"parts"},
       "Parts",
       "greatest distance between hangers",
       "Default: 10 ft, of a clothes dryer's duct 12 ft.",
       {{units::Dimension::length, 0.3, 10.0, "1 ft to 32 ft"}}},
      {"--clearance",
       "",
       "LENGTH",
       {},
       {"parts"},
       "Parts",
       "room around the duct in a rough-in hole",
       "On every side. Default: 1/2 in.",
       {{units::Dimension::length, 0.0, 0.5, "0 in to 19 in"}}},
      {"--deliver",
       "",
       "AIRFLOW",
       {},
       {"batch", "size"},
       "Size",
       "the airflow that has to be delivered, such as 400cfm",
       "Default: the layout's `required_airflow`.",
       {{units::Dimension::airflow, 1e-9, 100.0, "more than 0 cfm, up to 200000 cfm"}}},
      {"--makeup",
       "",
       "",
       {},
       {"size"},
       "Size",
       "size the makeup air instead: duct, opening or powered",
       "The smallest of each that keeps the house within its limit at every speed that can run. "
       "The duct has the pieces that the layout draws under `house: makeup:`, or assumed ones."},
      {"--within",
       "",
       "PRESSURE",
       {},
       {"batch", "size"},
       "Size",
       "for a layout without a fan: static pressure the run may ask of one, such as 0.25inH2O",
       "Every airflow is then what the run carries at that pressure; whether a fan makes it there "
       "is for its curve to show.",
       {{units::Dimension::pressure, 1.0, 5000.0, "more than 0.005 inH2O, up to 20 inH2O"}}},
      {"--max-depth",
       "",
       "LENGTH",
       {},
       {"batch", "size"},
       "Size",
       "greatest depth of the duct: its smaller side",
       "",
       {{units::Dimension::length, 0.0254, 3.048, "1 in to 10 ft"}}},
      {"--max-velocity",
       "",
       "V",
       {},
       {"batch", "size"},
       "Size",
       "greatest velocity in the duct, such as 1500fpm",
       "",
       {{units::Dimension::velocity, 0.1, 100.0, "20 fpm to 19000 fpm"}}},
      {"--sizes",
       "",
       "FILE",
       {},
       {"batch", "size"},
       "Size",
       "sizes of your own, besides those in stock",
       "`sizes: 1` with the list `stock`, such as [9 in round, 12 x 4 in]."},
      {"--rules",
       "",
       "SET,...",
       {},
       {"batch", "report", "review", "explain"},
       "Rules",
       "rule sets to judge by, or files that hold one",
       "Default: those that the layout names, else irc-2021, combustion-safety and "
       "common-practice. A name that ends "
       "in .yaml is a file."},
      {"--request",
       "",
       "",
       {},
       {"review"},
       "Rules",
       "the facts to ask the applicant for",
       "As YAML to fill in: each key that would settle a rule that is not shown. What stays blank "
       "states nothing."},
      {"--letter",
       "",
       "",
       {},
       {"review"},
       "Rules",
       "a letter to the applicant: what is not met and not shown",
       "Code by code, in the order of mending, with the file's hash and fields for permit, "
       "address, "
       "date and signature. Text, `--format html` or `--pdf`."},
      {"--against",
       "",
       "FILE",
       {},
       {"review"},
       "Rules",
       "an earlier file of the same layout: what is new, changed, cleared",
       "Both are judged by the same options. Text, JSON (key `against`) or `--format html`."},
      {"--review",
       "",
       "",
       {},
       {"report"},
       "Rules",
       "adds the inspection sheet, rule by rule",
       "What `review` says, as a section of the page. No certificate."},
      {"--sheet",
       "",
       "",
       {},
       {"review"},
       "Rules",
       "a sheet to take to the site",
       "Plain text with a box for each rule to look at."},
      {"--check",
       "",
       "",
       {},
       {"fmt"},
       "Output",
       "only tell by the exit status whether the file has that form",
       ""},
      {"--as",
       "",
       "FORM",
       {"man", "bash", "zsh", "fish"},
       {"help"},
       "Output",
       "help for other programs: a manual page, or what a shell completes",
       "Made from the same tables as this help. Where a package is installed they are in place."},
      {"--vary",
       "",
       "PATH=VALUES",
       {},
       {"sweep"},
       "Sweep",
       "a range or list, such as 'run.pieces[3].length=2ft..40ft:20'",
       "From, to and how many, evenly spaced; or values with commas between, words too: "
       "'run.pieces[7].type=louver,soffit-vent'. Several make a grid. Items count from 1, as the "
       "ledger numbers pieces.",
       {},
       true},
      {"--sample",
       "",
       "PATH=DISTRIBUTION",
       {},
       {"sweep"},
       "Sweep",
       "drawn values, such as 'house.leakage.airflow=lognormal(900cfm, 40 %)'",
       "normal(mean, standard deviation), lognormal(median, standard deviation of the logarithm), "
       "uniform(lowest, highest) or triangular(lowest, mode, highest), each drawn by itself.",
       {},
       true},
      {"--draws",
       "",
       "NUMBER",
       {},
       {"sweep"},
       "Sweep",
       "how many values each --sample draws",
       "Default: 1000. With --vary the same ones at every place of the grid.",
       {{units::Dimension::number, 1.0, 1e7, "1 to 10000000"}}},
      {"--seed",
       "",
       "NUMBER",
       {},
       {"sweep"},
       "Sweep",
       "where the draws begin",
       "Default: 20250101. The same seed gives the same rows.",
       {{units::Dimension::number, 0.0, 1e15, "0 to 10^15"}}},
      {"--study",
       "",
       "STUDY",
       {"check", "review", "size"},
       {"batch"},
       "Batch",
       "what is calculated of each layout: check, review or size",
       "Default: check."},
      {"--columns",
       "",
       "NAME,...",
       {},
       {"batch", "sweep"},
       "Batch",
       "which columns are written, after file and status",
       "docs/batch.md lists them; `document` is the whole result document. With --fail-on never "
       "nothing is calculated that no column shows."},
      {"--shard",
       "",
       "N/M",
       {},
       {"batch"},
       "Batch",
       "only the N-th of M shares of the layouts",
       "A layout's share follows from its name alone: the same whatever else is in the list."},
      {"--resume",
       "",
       "",
       {},
       {"batch"},
       "Batch",
       "go on with the output of a call that was ended",
       "Keeps the rows that FILE.part holds (or FILE, of a shorter list) and appends the others."},
      {"--threads",
       "",
       "NUMBER",
       {},
       {"batch", "sweep"},
       "Batch",
       "how many threads work",
       "Default: as many as there are cores. The output is the same for any number.",
       {{units::Dimension::number, 1.0, 256.0, "1 to 256"}}},
      {"--units",
       "",
       "SYSTEM",
       {"ip", "si"},
       {"check",
        "commission",
        "compare",
        "explain",
        "fittings",
        "measured",
        "parts",
        "report",
        "review",
        "size",
        "sweep"},
       "Output",
       "units of the text: ip or si",
       "Default: as most of the layout is written; of several compared ones as the first. Changes "
       "what "
       "is shown, never what the layout means; JSON is always SI."},
      {"--format",
       "",
       "FORMAT",
       {"text", "json", "csv", "html", "jsonl", "columns"},
       {"batch",
        "check",
        "commission",
        "compare",
        "fittings",
        "measured",
        "parts",
        "review",
        "size",
        "sweep"},
       "Output",
       "text or json; parts: csv; review: html; batch, sweep: jsonl, csv, columns",
       "Default: text, of batch jsonl, an object a line. With several files JSON is one document "
       "that holds them all. columns: names and types in the first line, then lines of arrays, one "
       "a column, for programs that store columns."},
      {"--json",
       "",
       "",
       {},
       {"check", "commission", "compare", "fittings", "measured", "parts", "review", "size"},
       "Output",
       "the same as --format json",
       "Standard output is then exactly one document, even where nothing could be calculated."},
      {"--output",
       "-o",
       "FILE",
       {},
       {"batch",
        "check",
        "commission",
        "compare",
        "explain",
        "fmt",
        "fittings",
        "measured",
        "parts",
        "report",
        "review",
        "size",
        "sweep",
        "worksheet"},
       "Output",
       "write the result to FILE",
       "Written whole or not at all. `-` is standard output."},
      {"--pdf",
       "",
       "",
       {},
       {"report", "review"},
       "Output",
       "print the page to PDF instead",
       "Needs an installed Chromium; FILE after `-o` is the PDF."},
      {"--svg",
       "",
       "NAME",
       {},
       {"report"},
       "Output",
       "write one picture alone",
       "route, plan, elevation, curves, pressure or answer, as an SVG file."},
      {"--sheet",
       "",
       "NAME",
       {"rough-in"},
       {"report"},
       "Output",
       "write one sheet alone: rough-in",
       "Plan and elevation to scale, holes dimensioned from the finished floor, lengths from "
       "center "
       "to center, blanks for what is not known; the bill on its back. Branches have one each. "
       "With --pdf for paper, with --dxf for a drawing program. The report's own --pdf ends in "
       "it."},
      {"--dxf",
       "",
       "",
       {},
       {"report"},
       "Output",
       "write the sheet's drawing as a DXF file",
       "With --sheet. Full size, in inches, or millimeters with --units si; a layer for each kind "
       "of thing, text in ASCII."},
      {"--progress",
       "",
       "STYLE",
       {"auto", "plain", "none"},
       {"batch", "report", "sweep"},
       "Output",
       "progress on standard error: auto, plain or none",
       "auto (default): one line, on a terminal, after half a second. plain: a line every ten "
       "seconds."},
      {"--color",
       "",
       "WHEN",
       {"auto", "always", "never"},
       {},
       "Output",
       "color: auto, always or never",
       "Default: auto, which colors a terminal unless NO_COLOR is set or TERM is dumb."},
      {"--profile",
       "",
       "WHEN",
       {"auto", "always", "never", "ascii"},
       {"check"},
       "Output",
       "pressure along the run: auto, always, never or ascii",
       "A picture of block characters, the pieces' numbers beneath; ascii: of plain ones. Default: "
       "auto, which draws on a terminal whose locale (LC_ALL, LC_CTYPE or LANG) is UTF-8, and not "
       "with --quiet."},
      {"--watch",
       "",
       "",
       {},
       {"check"},
       "Output",
       "answer again whenever a file changes, until interrupted",
       "The layouts and a catalogue named in the call are looked at ten times a second. On a "
       "terminal each answer takes the place of the last one. Not of standard input."},
      {"--verbose",
       "",
       "",
       {},
       {"check", "compare", "review", "size"},
       "Output",
       "friction factors, sources, how each search ended; what differs between runs",
       ""},
      {"--quiet",
       "",
       "",
       {},
       {"check", "commission", "compare", "measured", "parts", "review", "size", "sweep"},
       "Output",
       "only the answer, what was found, and the cautions",
       ""},
      {"--force", "", "", {}, {"new"}, "Output", "overwrite a file that is there", ""},
      {"--help", "-h", "", {}, {}, "Help", "this help; --help is the long one", ""},
      {"--version", "", "", {}, {}, "Help", "version, document formats and catalogue hash", ""},
  };
  return all_flags;
}

std::vector<const Flag*> flags_for(std::string_view command) {
  std::vector<const Flag*> list;
  for (const Flag& flag : flags()) {
    const auto same = std::ranges::find_if(
        list, [&](const Flag* one) { return std::string_view(one->name) == flag.name; });
    if (same == list.end()) {
      list.push_back(&flag);
    } else if (!belongs(**same, command) && belongs(flag, command)) {
      *same = &flag;
    }
  }
  return list;
}

bool belongs(const Flag& flag, std::string_view command) {
  return flag.commands.empty() ||
         std::find(flag.commands.begin(), flag.commands.end(), command) != flag.commands.end();
}

}  // namespace ductledger::app
