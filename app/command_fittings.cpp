#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <memory>
#include <nlohmann/json.hpp>
#include <numbers>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "command_common.hpp"
#include "document/check.hpp"
#include "document/fittings.hpp"
#include "duct/section_text.hpp"
#include "fitting/entry.hpp"
#include "load.hpp"
#include "picture/fitting.hpp"
#include "picture/plot.hpp"
#include "study/fitting_sheet.hpp"
#include "text/fittings.hpp"
#include "words/fittings.hpp"

namespace ductledger::app {
namespace {

using base::fault;

using fitting::Catalogue;
using fitting::Entry;
using Entries = std::vector<const Entry*>;

const std::vector<std::string> kSubcommands{"list", "show", "plot", "evaluate"};
const std::vector<std::string> kKinds{
    "elbow", "transition", "damper", "cap", "screen", "filter", "entry", "flex", "junction"};

document::Record record() { return {DUCTLEDGER_VERSION, ""}; }

Exit written(const std::string& text, const Options& options) {
  return delivered(text, options, Exit::fine);
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
    return static_cast<char>(std::tolower(c));
  });
  return text;
}

/// All that a search may find of an entry.
std::string searched(const Entry& entry, const Catalogue& catalogue) {
  std::string text = entry.key() + ' ' + entry.title + ' ' + entry.use;
  for (const fitting::DataSet& set : entry.data) {
    text += ' ' + set.key + ' ' + set.source;
    if (const auto source = catalogue.source(set.source)) {
      text += ' ' + source->author + ' ' + source->title;
    }
  }
  return lower(std::move(text));
}

Exit run_list(const Options& options, const Catalogue& catalogue) {
  const std::string kind = base::canonical_word(options.value("--kind"));
  if (options.has("--kind") && std::find(kKinds.begin(), kKinds.end(), kind) == kKinds.end()) {
    const auto near = base::nearest(kind, kKinds);
    return failed({fault("unknown-kind",
                         fmt::format("no kind of fitting is named `{}`", base::escaped(kind)),
                         near ? fmt::format("did you mean `{}`?", *near)
                              : fmt::format("one of {}", base::joined(kKinds)))},
                  options);
  }
  Entries found;
  for (const Entry* entry : catalogue.entries()) {
    const std::string text = searched(*entry, catalogue);
    const bool wanted = std::all_of(
        options.words.begin() + 1, options.words.end(), [&text](const std::string& word) {
          return text.find(lower(word)) != std::string::npos;
        });
    if (wanted && (kind.empty() || kind == fitting::word(entry->kind))) {
      found.push_back(entry);
    }
  }
  if (options.format == Format::json) {
    return written(document::to_text(document::fittings_document(found, catalogue, record())),
                   options);
  }
  if (found.empty()) {
    return failed({fault("nothing-found",
                         "no fitting holds all of these words",
                         "`ductledger fittings list` shows all of them")},
                  options);
  }
  return written(text::fittings_text(found, text_options(options, system_asked(options))), options);
}

/// Entries named by `KIND/TYPE` or `KIND/TYPE/VARIANT`.
base::Checked<Entries> named(const std::string& name, const Catalogue& catalogue) {
  const std::string wanted = base::canonical_word(name);
  Entries found;
  std::vector<std::string> names;
  for (const Entry* entry : catalogue.entries()) {
    const std::string type = std::string(fitting::word(entry->kind)) + '/' + entry->type;
    if (wanted == entry->key() || wanted == type) {
      found.push_back(entry);
    }
    names.push_back(type);
    names.push_back(entry->key());
    names.push_back(entry->type);
  }
  if (!found.empty()) {
    return found;
  }
  const auto near = base::nearest(wanted, names);
  std::string help = "`ductledger fittings list` shows all of them";
  if (near) {
    help = fmt::format("did you mean `{}`?", *near);
  }
  return fault("unknown-fitting",
               fmt::format("no fitting is named `{}`; a name is KIND/TYPE, such as "
                           "`elbow/smooth-radius`",
                           base::escaped(name)),
               std::move(help));
}

base::Diagnostic text_fault(const std::string& what,
                            const std::string& text,
                            const units::TextFault& wrong) {
  base::Diagnostic out =
      fault(wrong.rule, fmt::format("`{}`: {}", base::escaped(what), wrong.message), wrong.help);
  const auto source = std::make_shared<base::SourceText>(what, text);
  out.source = source;
  out.span = source->span_at(wrong.offset, wrong.length);
  out.label = wrong.label;
  return out;
}

std::optional<duct::Section> section_of(const std::string& what,
                                        const std::string& text,
                                        base::Diagnostics& faults) {
  const auto read = duct::parse_section(text);
  if (const auto* section = std::get_if<duct::Section>(&read)) {
    return *section;
  }
  faults.push_back(text_fault(what, text, std::get<units::TextFault>(read)));
  return std::nullopt;
}

/// What the words `name=value` may name.
struct Names {
  std::vector<Catalogue::Parameter> parameters;
  [[nodiscard]] std::vector<std::string> all(const Entry& entry) const {
    std::vector<std::string> names{"source"};
    for (const Catalogue::Parameter& p : parameters) {
      names.push_back(p.name);
    }
    if (entry.kind == fitting::Kind::elbow) {
      names.insert(names.end(), {"angle", "plane"});
    } else if (entry.kind == fitting::Kind::transition) {
      names.emplace_back("to");
    } else if (entry.kind == fitting::Kind::flex) {
      names.emplace_back("compression");
    }
    return names;
  }
};

class Asking {
 public:
  Asking(const Options& options, const Catalogue& catalogue, Entries entries)
      : options_(&options), catalogue_(&catalogue), entries_(std::move(entries)) {}

  base::Checked<study::FittingAsk> ask();

 private:
  void choose_entry(const std::optional<duct::Section>& section);
  void word(const std::string& text);
  void parameter(const std::string& name, const std::string& text, units::Dimension dimension);
  [[nodiscard]] bool holds(const Entry& entry, const duct::Section& section) const {
    return std::any_of(entry.from_to.begin(), entry.from_to.end(), [&](const auto& pair) {
      return pair[0].holds(section.shape());
    });
  }

  const Options* options_;
  const Catalogue* catalogue_;
  Entries entries_;
  study::FittingAsk ask_{.piece = {.upstream = duct::Section::round(units::inches(8.0)),
                                   .downstream = duct::Section::round(units::inches(8.0))}};
  bool plane_is_height_ = false;
  std::optional<duct::Section> to_;
  base::Diagnostics faults_;
};

void Asking::parameter(const std::string& name,
                       const std::string& text,
                       units::Dimension dimension) {
  if (dimension == units::Dimension::area) {
    // A face is a section as often as an area: `32 x 14 in`.
    const auto section = duct::parse_section(text);
    if (const auto* found = std::get_if<duct::Section>(&section)) {
      ask_.piece.parameters[name] = found->area_m2();
      return;
    }
  }
  const auto read = units::parse_quantity(text, dimension);
  if (const auto* value = std::get_if<double>(&read)) {
    if (name == "compression" || ask_.entry->kind == fitting::Kind::junction) {
      ask_.variables[name] = *value;
    } else {
      ask_.piece.parameters[name] = *value;
    }
    return;
  }
  faults_.push_back(text_fault(name, text, std::get<units::TextFault>(read)));
}

void Asking::word(const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) {
    faults_.push_back(fault("not-a-parameter",
                            fmt::format("`{}` is no `name=value`", base::escaped(text)),
                            "such as `radius_ratio=1.5`"));
    return;
  }
  std::string name = text.substr(0, equals);
  std::replace(name.begin(), name.end(), '-', '_');
  const std::string value = text.substr(equals + 1);
  const Names names{catalogue_->parameters(ask_.entry->kind, ask_.entry->type)};
  for (const Catalogue::Parameter& p : names.parameters) {
    if (p.name == name) {
      parameter(name, value, p.dimension);
      return;
    }
  }
  const auto all = names.all(*ask_.entry);
  if (std::find(all.begin(), all.end(), name) == all.end()) {
    const auto near = base::nearest(name, all);
    faults_.push_back(
        fault("unknown-parameter",
              fmt::format("{} has no parameter `{}`", ask_.entry->key(), base::escaped(name)),
              near ? fmt::format("did you mean `{}`?", *near)
                   : fmt::format("it takes {}", base::joined(all, "and"))));
  } else if (name == "source") {
    ask_.piece.source = value;
  } else if (name == "to") {
    to_ = section_of("to", value, faults_);
  } else if (name == "compression") {
    parameter(name, value, units::Dimension::ratio);
  } else if (name == "angle") {
    const auto read = units::parse_quantity(value, units::Dimension::angle);
    if (const auto* angle = std::get_if<double>(&read)) {
      ask_.piece.angle_rad = *angle;
    } else {
      faults_.push_back(text_fault(name, value, std::get<units::TextFault>(read)));
    }
  } else if (value == "width" || value == "height") {
    plane_is_height_ = value == "height";
  } else {
    faults_.push_back(fault(
        "bad-value", fmt::format("`plane` takes width or height, not `{}`", base::escaped(value))));
  }
}

void Asking::choose_entry(const std::optional<duct::Section>& section) {
  // Round duct first where nothing is said.
  const duct::Section wanted = section.value_or(duct::Section::round(units::inches(8.0)));
  for (const Entry* entry : entries_) {
    if (holds(*entry, wanted)) {
      ask_.entry = entry;
      break;
    }
  }
  if (!section && ask_.entry == nullptr) {
    ask_.entry = entries_.front();
  }
  // Of transitions of one type the section after the change decides.
  if (section && ask_.entry != nullptr && ask_.entry->kind == fitting::Kind::transition) {
    for (const std::string& text : options_->words) {
      if (text.rfind("to=", 0) != 0) {
        continue;
      }
      const auto after = duct::parse_section(text.substr(3));
      if (const auto* to = std::get_if<duct::Section>(&after)) {
        for (const Entry* entry : entries_) {
          fitting::Piece piece{
              .kind = entry->kind, .type = entry->type, .upstream = *section, .downstream = *to};
          const auto read = catalogue_->coefficient(piece);
          if (const auto* c = std::get_if<fitting::Coefficient>(&read)) {
            ask_.entry = catalogue_->entry(c->entry);
          }
        }
      }
    }
  }
}

base::Checked<study::FittingAsk> Asking::ask() {
  std::optional<duct::Section> section;
  if (options_->has("--section")) {
    section = section_of("--section", options_->value("--section"), faults_);
  }
  const auto airflow = quantity_option(*options_, "--airflow", units::Dimension::airflow);
  if (!airflow) {
    faults_.insert(faults_.end(), airflow.error().begin(), airflow.error().end());
  } else if (*airflow && !(**airflow > 0.0)) {
    faults_.push_back(fault("out-of-range", "`--airflow` must be above zero"));
  } else {
    ask_.airflow_m3_s = *airflow;
  }
  choose_entry(section);
  if (ask_.entry == nullptr) {
    faults_.push_back(fault(
        "wrong-section",
        fmt::format(
            "{} is not known for {}", base::escaped(options_->words[1]), duct::to_text(*section)),
        "`ductledger fittings list` shows the others"));
    return faults_;
  }
  ask_.piece = study::usual_piece(*ask_.entry);
  ask_.section_taken = !section.has_value();
  if (section) {
    if (ask_.entry->kind != fitting::Kind::transition) {
      ask_.piece.downstream = *section;
    }
    ask_.piece.upstream = *section;
  }
  for (std::size_t i = 2; i < options_->words.size(); ++i) {
    word(options_->words[i]);
  }
  if (to_) {
    ask_.piece.downstream = *to_;
  }
  if (section && !to_ && ask_.entry->kind == fitting::Kind::transition && faults_.empty()) {
    faults_.push_back(fault("missing-parameter",
                            "a transition has two sections",
                            "state the one after it: `to='6 in round'`"));
  }
  if (ask_.entry->kind == fitting::Kind::elbow) {
    const duct::Section& s = ask_.piece.upstream;
    ask_.piece.in_plane_m = plane_is_height_ ? s.height_m() : s.width_m();
    ask_.piece.across_m = plane_is_height_ ? s.width_m() : s.height_m();
  }
  if (!faults_.empty()) {
    return faults_;
  }
  return ask_;
}

base::Diagnostics refused(const study::FittingSheet& sheet, const Options& options) {
  base::Diagnostics faults;
  if (!sheet.values.empty() && !sheet.values.front().coefficient) {
    faults.push_back(fault("no-coefficient", sheet.values.front().missing));
  }
  for (const study::Outside& o : study::outside_of(sheet)) {
    faults.push_back(fault(
        "outside-table-range",
        fmt::format("{} {} lies outside what the source covers, {} to {}",
                    o.name,
                    words::variable_text(o.value, o.dimension, system_asked(options)),
                    words::variable_text(o.lowest, o.dimension, system_asked(options)),
                    words::variable_text(o.highest, o.dimension, system_asked(options))),
        "a layout would be charged the nearest edge, with a finding; no figure is given here"));
  }
  return faults;
}

Exit shown(const std::string& command, const Options& options, const Catalogue& catalogue) {
  if (options.words.size() < 2) {
    return failed({fault("missing-fitting",
                         fmt::format("`fittings {}` needs a fitting, KIND/TYPE", command),
                         "`ductledger fittings list` shows all of them")},
                  options);
  }
  const auto entries = named(options.words[1], catalogue);
  if (!entries) {
    return failed(entries.error(), options);
  }
  const auto ask = Asking(options, catalogue, *entries).ask();
  if (!ask) {
    return failed(ask.error(), options);
  }
  const study::FittingSheet sheet = study::fitting_sheet(catalogue, *ask);
  if (command == "evaluate") {
    const base::Diagnostics faults = refused(sheet, options);
    if (!faults.empty()) {
      return failed(faults, options);
    }
  } else if (!sheet.values.empty() && !sheet.values.front().coefficient) {
    return failed(refused(sheet, options), options);
  }
  if (command == "plot" && options.format != Format::json) {
    return written(
        picture::plot_svg(picture::fitting_plot(sheet), {.system = system_asked(options)}),
        options);
  }
  if (options.format == Format::json) {
    return written(document::to_text(document::fitting_sheet_document(sheet, catalogue, record())),
                   options);
  }
  return written(
      command == "evaluate"
          ? text::fitting_value_text(sheet, text_options(options, system_asked(options)))
          : fitting_sheet_text(
                sheet, catalogue, *entries, text_options(options, system_asked(options))),
      options);
}

}  // namespace

Exit run_fittings(const Options& options) {
  const std::string& command = options.words.front();
  if (std::find(kSubcommands.begin(), kSubcommands.end(), command) == kSubcommands.end()) {
    const auto near = base::nearest(command, kSubcommands);
    return failed({fault("unknown-command",
                         fmt::format("`fittings` does not know `{}`", base::escaped(command)),
                         near ? fmt::format("did you mean `{}`?", *near)
                              : fmt::format("one of {}", base::joined(kSubcommands)))},
                  options);
  }
  const auto catalogue = load_catalogue(options);
  if (!catalogue) {
    return failed(catalogue.error(), options);
  }
  return command == "list" ? run_list(options, **catalogue) : shown(command, options, **catalogue);
}

}  // namespace ductledger::app
