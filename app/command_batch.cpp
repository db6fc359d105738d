#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/expects.hpp"
#include "base/fault.hpp"
#include "base/text.hpp"
#include "batch_inputs.hpp"
#include "batch_output.hpp"
#include "command_common.hpp"
#include "console.hpp"
#include "document/batch_row.hpp"
#include "files.hpp"
#include "load.hpp"
#include "parallel/parallel.hpp"
#include "progress.hpp"
#include "rule_files.hpp"

namespace ductledger::app {
namespace {

using base::fault;
using document::BatchColumn;
using document::BatchStudy;
using document::RowStatus;
using study::Depth;

using Columns = std::vector<const BatchColumn*>;

/// What every layout of the call is calculated with; read once, then by all threads.
struct Asked {
  const Options& options;
  document::Record record;
  BatchStudy study = BatchStudy::check;
  Columns columns;
  Depth depth = Depth::whole;
  study::SizeOptions size{};
  study::ReviewAsked rules{};  ///< where the layout names none
};

base::Checked<Columns> columns_of(const Options& options, BatchStudy study) {
  if (!options.has("--columns")) {
    return document::usual_columns(study);
  }
  const auto all = document::batch_columns();
  Columns columns{&all[0], &all[1]};  // which layout, and how it came out
  base::Diagnostics faults;
  std::vector<std::string> names;
  for (const BatchColumn& column : all) {
    if (column.only.value_or(study) == study) {
      names.emplace_back(column.name);
    }
  }
  for (const std::string& name : list_option(options, "--columns")) {
    const auto at = std::ranges::find(all, name, &BatchColumn::name);
    const BatchColumn* const found = at == all.end() ? nullptr : &*at;
    if (found == nullptr) {
      const auto near = base::nearest(name, names);
      faults.push_back(fault("unknown-column",
                             fmt::format("no column is named {}", base::shown(name)),
                             near ? fmt::format("did you mean `{}`?", *near)
                                  : "columns: " + base::joined(names, "and")));
    } else if (found->only.value_or(study) != study) {
      faults.push_back(fault("unknown-column",
                             fmt::format("`{}` is a column of `--study {}`",
                                         found->name,
                                         document::kBatchStudyWords.of(*found->only))));
    } else if (std::ranges::find(columns, found) == columns.end()) {
      columns.push_back(found);
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return columns;
}

/// Findings decide the exit status, unless none shall.
Depth depth_of(const Columns& columns, const Options& options) {
  Depth depth = options.fail_on == FailOn::never ? Depth::points : Depth::whole;
  for (const BatchColumn* column : columns) {
    depth = std::max(depth, column->depth);
  }
  return depth;
}

/// One layout on its way to its row.
class LayoutJob final : public parallel::Job {
 public:
  struct Shared {
    const Asked& asked;
    Shelf shelf{};
    RowsOutput& output;
    Progress& progress;
    std::size_t done = 0;
    std::array<std::size_t, 3> ended{};  ///< by status
    std::optional<std::string> first_failed{};

    void count(RowStatus status, const std::string& name) {
      ++done;
      ++ended[static_cast<std::size_t>(status)];
      if (status == RowStatus::failed && !first_failed) {
        first_failed = name;
      }
    }
  };

  LayoutJob(BatchInput input, Shared& shared) : input_(std::move(input)), shared_(shared) {}

  void work() override {
    document::BatchSubject subject{.file = input_.name, .record = &shared_.asked.record};
    try {
      calculate(subject);
    } catch (const base::LogicError& error) {
      failed(subject, {fault("bug", std::string("this is a bug in ductledger: ") + error.what())});
    } catch (const std::exception& error) {
      failed(subject,
             {fault("stopped",
                    std::string("the calculation could not be carried out: ") + error.what())});
    }
  }

  bool hand_on() override {
    shared_.count(status_, input_.name);
    const bool written = shared_.output.add(std::move(cells_));
    shared_.progress.done(shared_.done);
    return written;
  }

 private:
  void put(document::BatchSubject& subject, RowStatus status) {
    subject.status = status;
    status_ = status;
    cells_ = shared_.output.text().cells(document::batch_row(shared_.asked.columns, subject));
  }

  void failed(document::BatchSubject& subject, const base::Diagnostics& faults) {
    subject.faults = faults;
    subject.check = nullptr;
    subject.review = nullptr;
    subject.size = nullptr;
    put(subject, RowStatus::failed);
  }

  [[nodiscard]] base::Checked<Loaded> load() {
    if (!input_.faults.empty()) {
      return input_.faults;
    }
    const Options& options = shared_.asked.options;
    if (input_.text) {
      // Files that such a text names lie in the folder of the call.
      const auto text =
          std::make_shared<const base::SourceText>(input_.name, *std::move(input_.text));
      return load_layout(text, "-", options, &shared_.shelf);
    }
    return read_file(input_.name).and_then([&](const base::SourcePtr& text) {
      return load_layout(text, input_.name, options, &shared_.shelf);
    });
  }

  void calculate(document::BatchSubject& subject) {
    const std::string path = input_.text ? "-" : input_.name;
    auto loaded = load();
    if (!loaded) {
      return failed(subject, loaded.error());
    }
    const Asked& asked = shared_.asked;
    const auto status = [](bool objects) {
      return objects ? RowStatus::findings : RowStatus::fine;
    };
    switch (asked.study) {
      case BatchStudy::check: {
        if (!loaded->layout.branches.empty()) {
          const auto network = study::check_network(
              std::move(loaded->layout), *loaded->catalogue, {.speed = asked.options.speed});
          if (!network) {
            return failed(subject, network.error());
          }
          const study::CheckResult collar = study::as_single(*network);
          subject.check = &collar;
          subject.network = &*network;
          return put(subject, status(objects(collar, asked.options.fail_on)));
        }
        const auto result = study::check(std::move(loaded->layout),
                                         *loaded->catalogue,
                                         {.speed = asked.options.speed, .depth = asked.depth});
        if (!result) {
          return failed(subject, result.error());
        }
        subject.check = &*result;
        return put(subject, status(objects(*result, asked.options.fail_on)));
      }
      case BatchStudy::review: {
        const bool own = !loaded->layout.rules.empty() && !asked.options.has("--rules");
        const auto rules = own ? rule_sets(loaded->layout, path, asked.options)
                               : base::Checked<study::ReviewAsked>(asked.rules);
        if (!rules) {
          return failed(subject, rules.error());
        }
        const auto result = study::review(std::move(loaded->layout), *loaded->catalogue, *rules);
        if (!result) {
          return failed(subject, result.error());
        }
        subject.review = &*result;
        subject.check = &result->check;
        return put(subject, status(objects(*result, asked.options.fail_on)));
      }
      case BatchStudy::size: {
        const auto result = study::size(std::move(loaded->layout), *loaded->catalogue, asked.size);
        if (!result) {
          return failed(subject, result.error());
        }
        subject.size = &*result;
        subject.check = &result->check;
        return put(subject, status(!result->smallest));
      }
    }
  }

  BatchInput input_;
  Shared& shared_;
  RowStatus status_ = RowStatus::failed;
  document::RowText::Cells cells_;
};

base::Checked<Asked> asked_of(const Options& options) {
  Asked asked{
      .options = options,
      .record = {DUCTLEDGER_VERSION, word(options.fail_on)},
      .study =
          document::kBatchStudyWords.find(options.value("--study")).value_or(BatchStudy::check),
      .columns = {}};
  base::Diagnostics faults;
  const auto keep = [&](const base::Diagnostics& more) {
    faults.insert(faults.end(), more.begin(), more.end());
  };
  if (auto columns = columns_of(options, asked.study)) {
    asked.columns = *std::move(columns);
    asked.depth = depth_of(asked.columns, options);
  } else {
    keep(columns.error());
  }
  if (auto size = size_options(options)) {
    asked.size = *std::move(size);
  } else {
    keep(size.error());
  }
  if (asked.study == BatchStudy::review) {
    if (auto rules = rule_sets(layout::Layout(), "-", options)) {
      asked.rules = *std::move(rules);
    } else {
      keep(rules.error());
    }
  }
  for (const auto& [option, study] : {std::pair("--deliver", BatchStudy::size),
                                      std::pair("--within", BatchStudy::size),
                                      std::pair("--max-depth", BatchStudy::size),
                                      std::pair("--max-velocity", BatchStudy::size),
                                      std::pair("--sizes", BatchStudy::size),
                                      std::pair("--rules", BatchStudy::review)}) {
    if (options.has(option) && asked.study != study) {
      const char* word = document::kBatchStudyWords.of(study);
      keep({fault("contradiction",
                  fmt::format("`{}` is for `--study {}`", option, word),
                  fmt::format("add `--study {}`, or leave it out", word))});
    }
  }
  if (options.has("--speed") && asked.study == BatchStudy::review) {
    keep({fault("contradiction", "`--speed` is not for `--study review`", "leave it out")});
  }
  if (options.has("--resume") && options.output == "-") {
    keep({fault(
        "contradiction", "`--resume` needs the file that is gone on with", "name it after `-o`")});
  }
  if (!faults.empty()) {
    return faults;
  }
  return asked;
}

document::RowText row_text(const Asked& asked) {
  std::vector<document::ColumnHead> heads;
  for (const BatchColumn* column : asked.columns) {
    heads.push_back({column->name, column->type});
  }
  return {std::move(heads),
          document::kRowFormatWords.find(asked.options.value("--format"))
              .value_or(document::RowFormat::jsonl)};
}

/// The layouts whose rows are there already have to be those that come first; they count as those
/// that are still to come.
base::Diagnostics pass_over(const RowsOutput& output,
                            BatchInputs& inputs,
                            LayoutJob::Shared& shared) {
  const std::vector<document::RowKey>& there = output.there();
  for (std::size_t i = 0; i < there.size(); ++i) {
    const std::optional<BatchInput> input = inputs.next();
    const auto status = document::kRowStatusWords.find(there[i].status);
    if (!input || !status || output.text().read_back(input->name) != there[i].name) {
      return {fault("other-output",
                    fmt::format("row {} of the output is of {}, and layout {} of the call is {}",
                                i + 1,
                                base::shown(there[i].name),
                                i + 1,
                                input ? base::shown(input->name) : "not there"),
                    "`--resume` goes on with the same layouts in the same order; without it the "
                    "output is written anew")};
    }
    shared.count(*status, input->name);
  }
  return {};
}

}  // namespace

Exit run_batch(const Options& options) {
  const auto asked = asked_of(options);
  const auto shard = options.has("--shard") ? read_shard(options.value("--shard")) : Shard();
  const auto threads = whole_option(options, "--threads");
  base::Diagnostics faults;
  for (const base::Diagnostics* more : {asked ? nullptr : &asked.error(),
                                        shard ? nullptr : &shard.error(),
                                        threads ? nullptr : &threads.error()}) {
    if (more != nullptr) {
      faults.insert(faults.end(), more->begin(), more->end());
    }
  }
  if (!faults.empty()) {
    return failed(faults, options);
  }
  auto inputs = BatchInputs::of(options.words, *shard);
  if (!inputs) {
    return failed(inputs.error(), options);
  }
  if (options.output != "-") {
    for (const std::string& path : inputs->paths()) {
      keep_file(path);
    }
  }
  auto output = RowsOutput::open(
      {options.output,
       options.has("--resume") ? RowsOutput::Start::resume : RowsOutput::Start::anew},
      row_text(*asked));
  if (!output) {
    return failed(output.error(), options);
  }
  Progress progress(progress_style(options), inputs->count());
  LayoutJob::Shared shared{.asked = *asked, .output = *output, .progress = progress};
  if (const auto others = pass_over(*output, *inputs, shared); !others.empty()) {
    return failed(others, options);
  }
  progress.begun_with(shared.done);
  const parallel::Threads limit(threads->value_or(0));
  parallel::in_order([&]() -> std::shared_ptr<parallel::Job> {
    std::optional<BatchInput> input = inputs->next();
    return input ? std::make_shared<LayoutJob>(*std::move(input), shared) : nullptr;
  });
  if (const auto unwritten = output->finish(); !unwritten.empty()) {
    return failed(unwritten, options);
  }
  const auto ended = [&](RowStatus status) {
    return shared.ended[static_cast<std::size_t>(status)];
  };
  if (const std::size_t count = ended(RowStatus::failed); count > 0) {
    base::Diagnostic told =
        fault("layouts-failed",
              fmt::format("{} of {} layouts could not be calculated, the first of them {}",
                          count,
                          count + ended(RowStatus::fine) + ended(RowStatus::findings),
                          base::shown(*shared.first_failed)),
              "their rows have the status `failed`, and the columns `fault...` say why");
    complain({told}, options.color);
    return Exit::failed;
  }
  return ended(RowStatus::findings) > 0 ? Exit::findings : Exit::fine;
}

}  // namespace ductledger::app
