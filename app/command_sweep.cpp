#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "batch_output.hpp"
#include "command_common.hpp"
#include "console.hpp"
#include "document/batch_row.hpp"
#include "files.hpp"
#include "html/sweep.hpp"
#include "load.hpp"
#include "parallel/parallel.hpp"
#include "progress.hpp"
#include "study/branches.hpp"
#include "text/sweep.hpp"

namespace ductledger::app {
namespace {

using base::fault;
using document::BatchColumn;
using nlohmann::ordered_json;

using Columns = std::vector<const BatchColumn*>;

const std::vector<std::string> kUsual{"status",
                                      "fault",
                                      "fault_message",
                                      "point",
                                      "airflow_m3_s",
                                      "static_pressure_pa",
                                      "collar_static_pressure_pa",
                                      "share_of_rated"};

/// Where the rows and the view go.
struct Places {
  std::string rows;  ///< empty: none are written
  std::string page;  ///< empty: no page
  bool text = false;
  document::RowFormat format = document::RowFormat::jsonl;
};

base::Checked<Places> places_of(const Options& options) {
  Places out;
  const std::string format = options.value("--format");
  const auto rows = document::kRowFormatWords.find(format);
  const auto ends = [&](const char* with) { return options.output.ends_with(with); };
  if (ends(".html") || ends(".htm")) {
    if (rows) {
      return fault("contradiction",
                   fmt::format("`--format {}` is for rows, and `{}` is a page",
                               format,
                               base::escaped(options.output)),
                   "name the rows' file by another ending, or leave `--format` out");
    }
    out.page = options.output;
    out.text = options.detail != text::Detail::brief;
    return out;
  }
  if (options.output == "-" && !rows) {
    out.text = true;
    return out;
  }
  out.rows = options.output;
  out.text = options.output != "-" && options.detail != text::Detail::brief;
  out.format = rows.value_or(ends(".csv") ? document::RowFormat::csv : document::RowFormat::jsonl);
  return out;
}

base::Checked<Columns> columns_of(const Options& options) {
  const auto all = document::batch_columns();
  Columns columns;
  base::Diagnostics faults;
  std::vector<std::string> names;
  for (const BatchColumn& column : all) {
    if (!column.only && std::string_view(column.name) != "file") {
      names.emplace_back(column.name);
    }
  }
  std::vector<std::string> wanted = kUsual;
  if (options.has("--columns")) {
    wanted = list_option(options, "--columns");
    wanted.insert(wanted.begin(), "status");
  }
  for (const std::string& name : wanted) {
    const auto at = std::ranges::find(all, name, &BatchColumn::name);
    if (std::ranges::find(names, name) == names.end()) {
      const auto near = base::nearest(name, names);
      faults.push_back(fault("unknown-column",
                             fmt::format("no column is named {}", base::shown(name)),
                             near ? fmt::format("did you mean `{}`?", *near)
                                  : "columns: " + base::joined(names, "and")));
    } else if (std::ranges::find(columns, &*at) == columns.end()) {
      columns.push_back(&*at);
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return columns;
}

base::Checked<study::SweepAsked> asked_of(const Options& options) {
  study::SweepAsked asked;
  base::Diagnostics faults;
  const auto read = [&](const char* name, auto reader, std::vector<study::Varied>& list) {
    for (const std::string& text : options.values(name)) {
      auto varied = reader(text);
      if (varied) {
        list.push_back(*std::move(varied));
      } else {
        faults.insert(faults.end(), varied.error().begin(), varied.error().end());
      }
    }
  };
  read("--vary", study::read_vary, asked.grid);
  read("--sample", study::read_sample, asked.sample);
  const auto whole = [&](const char* name, auto& place) {
    const auto number = whole_option(options, name);
    if (!number) {
      faults.insert(faults.end(), number.error().begin(), number.error().end());
    } else if (*number) {
      place = **number;
    }
  };
  whole("--draws", asked.count);
  whole("--seed", asked.seed);
  for (const char* name : {"--draws", "--seed"}) {
    if (options.has(name) && asked.sample.empty() && faults.empty()) {
      faults.push_back(fault("contradiction",
                             fmt::format("`{}` is for `--sample`, and nothing is sampled", name),
                             "leave it out"));
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return asked;
}

/// What the call asks for.
struct SweepWanted {
  Places places;
  Columns columns;
  study::SweepAsked asked;
  std::optional<std::size_t> threads;
};

base::Checked<SweepWanted> wanted_of(const Options& options) {
  auto places = places_of(options);
  auto columns = columns_of(options);
  auto asked = asked_of(options);
  const auto threads = whole_option(options, "--threads");
  base::Diagnostics faults;
  for (const base::Diagnostics* more : {places ? nullptr : &places.error(),
                                        columns ? nullptr : &columns.error(),
                                        asked ? nullptr : &asked.error(),
                                        threads ? nullptr : &threads.error()}) {
    if (more != nullptr) {
      faults.insert(faults.end(), more->begin(), more->end());
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return SweepWanted{*std::move(places), *std::move(columns), *std::move(asked), *threads};
}

/// One row on its way.
class RowJob final : public parallel::Job {
 public:
  struct Shared {
    const study::Sweep& sweep;
    const Columns& columns;
    study::CheckOptions options;
    document::Record record;
    FailOn fail_on;
    RowsOutput* output;                      ///< null: no rows are written
    std::vector<study::SweepPoint>* points;  ///< null: nothing is shown
    Progress& progress;
    std::size_t done = 0;
  };

  RowJob(std::size_t index, Shared& shared) : index_(index), shared_(shared) {}

  void work() override {
    const study::SweepRow row = shared_.sweep.row(index_);
    const auto result = shared_.sweep.calculate(row, shared_.options);
    point_ = study::sweep_point(result);
    if (shared_.output == nullptr) {
      return;
    }
    document::BatchSubject subject{.file = {}, .record = &shared_.record};
    if (result) {
      subject.check = &*result;
      subject.status = objects(*result, shared_.fail_on) ? document::RowStatus::findings
                                                         : document::RowStatus::fine;
    } else {
      subject.faults = result.error();
    }
    document::Row cells{static_cast<std::uint64_t>(index_ + 1)};
    for (const auto& value : row.values) {
      std::visit([&](const auto& one) { cells.emplace_back(one); }, value);
    }
    for (ordered_json& cell : document::batch_row(shared_.columns, subject)) {
      cells.push_back(std::move(cell));
    }
    cells_ = shared_.output->text().cells(cells);
  }

  bool hand_on() override {
    if (shared_.points != nullptr) {
      shared_.points->push_back(point_);
    }
    shared_.progress.done(++shared_.done);
    return shared_.output == nullptr || shared_.output->add(std::move(cells_));
  }

 private:
  std::size_t index_;
  Shared& shared_;
  study::SweepPoint point_;
  document::RowText::Cells cells_;
};

document::RowText row_text(const study::Sweep& sweep,
                           const Columns& columns,
                           document::RowFormat format) {
  std::vector<document::ColumnHead> heads{{"row", document::ColumnType::count}};
  for (const auto* list : {&sweep.asked().grid, &sweep.asked().sample}) {
    for (const study::Varied& varied : *list) {
      heads.push_back(
          {varied.name(),
           varied.dimension ? document::ColumnType::number : document::ColumnType::text});
    }
  }
  for (const BatchColumn* column : columns) {
    heads.push_back({column->name, column->type});
  }
  return {std::move(heads), format};
}

/// Where the rows go, if they are wanted; that a page cannot be written is told beforehand too.
base::Checked<std::optional<RowsOutput>> output_for(const Places& places, document::RowText text) {
  if (!places.rows.empty()) {
    return RowsOutput::open({places.rows}, std::move(text)).transform([](RowsOutput&& opened) {
      return std::optional<RowsOutput>(std::move(opened));
    });
  }
  if (!places.page.empty()) {
    if (auto refused = cannot_take(places.page); !refused.empty()) {
      return refused;
    }
  }
  return std::optional<RowsOutput>();
}

/// Every row calculated and handed on in its order.
void work_through(RowJob::Shared& shared, std::optional<std::size_t> threads) {
  const parallel::Threads limit(threads.value_or(0));
  std::size_t next = 0;
  parallel::in_order([&]() -> std::shared_ptr<parallel::Job> {
    return next < shared.sweep.rows() ? std::make_shared<RowJob>(next++, shared) : nullptr;
  });
}

/// The page and the table, where they are wanted.
base::Diagnostics show(const Places& places,
                       const study::CheckResult& as_it_is,
                       const study::Sweep& sweep,
                       const std::vector<study::SweepPoint>& points,
                       const Options& options) {
  if (!places.page.empty()) {
    const std::string page = html::sweep_html(
        as_it_is,
        sweep,
        points,
        {.system = system_of(options, as_it_is.layout), .tool_version = DUCTLEDGER_VERSION});
    if (auto unwritten = write_file(places.page, page, Existing::replace); !unwritten.empty()) {
      return unwritten;
    }
  }
  if (!places.text) {
    return {};
  }
  text::TextOptions shown = text_options(options, system_of(options, as_it_is.layout));
  shown.profile = draws_blocks() ? text::Profile::blocks : text::Profile::ascii;
  return print(text::sweep_text(as_it_is, sweep, points, shown));
}

}  // namespace

Exit run_sweep(const Options& options) {
  auto wanted = wanted_of(options);
  if (!wanted) {
    return failed(wanted.error(), options);
  }
  const Places& places = wanted->places;
  const auto loaded = read_layout(options.words.front(), options);
  if (!loaded) {
    return failed(loaded.error(), options);
  }
  study::CheckOptions how{.speed = options.speed, .depth = study::Depth::points};
  // Of the file as it is the worst is told too.
  const auto as_it_is =
      study::check_as_single(loaded->layout, *loaded->catalogue, {.speed = options.speed});
  if (!as_it_is) {
    return failed(as_it_is.error(), options);
  }
  const auto sweep = study::Sweep::of(loaded->layout, *loaded->catalogue, std::move(wanted->asked));
  if (!sweep) {
    return failed(sweep.error(), options);
  }
  for (const BatchColumn* column : wanted->columns) {
    how.depth = std::max(how.depth, column->depth);
  }
  auto output = output_for(places, row_text(*sweep, wanted->columns, places.format));
  if (!output) {
    return failed(output.error(), options);
  }
  std::vector<study::SweepPoint> points;
  Progress progress(progress_style(options), sweep->rows());
  RowJob::Shared shared{.sweep = *sweep,
                        .columns = wanted->columns,
                        .options = how,
                        .record = {DUCTLEDGER_VERSION, word(options.fail_on)},
                        .fail_on = options.fail_on,
                        .output = *output ? &**output : nullptr,
                        .points = places.text || !places.page.empty() ? &points : nullptr,
                        .progress = progress};
  work_through(shared, wanted->threads);
  base::Diagnostics unwritten = *output ? (*output)->finish() : base::Diagnostics();
  if (unwritten.empty()) {
    unwritten = show(places, *as_it_is, *sweep, points, options);
  }
  return unwritten.empty() ? Exit::fine : failed(unwritten, options);
}

}  // namespace ductledger::app
