#include "text/verdict.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <string_view>
#include <utility>

#include "base/text.hpp"

namespace ductledger::text {
namespace {

Ink ink_of(document::Standing standing) {
  switch (standing) {
    case document::Standing::fail:
    case document::Standing::not_met:
      return Ink::red;
    case document::Standing::not_shown:
    case document::Standing::warn:
      return Ink::yellow;
    case document::Standing::clear:
      break;
  }
  return Ink::dim;
}

}  // namespace

void write_verdict(Page& page, const study::CheckResult& result) {
  const document::Verdict verdict = document::verdict(result);
  const std::string_view word = verdict.mark();
  page.marked({.word = word,
               .ink = ink_of(verdict.standing),
               .text_column = Page::kIndent + word.size() + 2},
              verdict.text(page.options().system));
}

bool is_bad(const study::CheckResult& result) {
  return document::verdict(result).standing >= document::Standing::not_met;
}

void write_verdict_if_bad(Page& page, const study::CheckResult& result) {
  if (is_bad(result)) {
    write_verdict(page, result);
  }
}

std::string verdict_text(const study::CheckResult& result, units::System system) {
  const document::Verdict verdict = document::verdict(result);
  return std::string(verdict.mark()) + "  " + verdict.text(system);
}

FileVerdict file_verdict(std::string file, const study::CheckResult& result, units::System system) {
  const document::Verdict verdict = document::verdict(result);
  return {.file = std::move(file),
          .standing = verdict.standing,
          .mark = verdict.mark(),
          .text = verdict.text(system)};
}

std::string verdicts_text(std::vector<FileVerdict> all, const TextOptions& options) {
  constexpr int kWorst = static_cast<int>(document::Standing::fail) + 1;
  std::ranges::stable_sort(all, std::greater{}, [](const FileVerdict& one) {
    return one.standing ? static_cast<int>(*one.standing) : kWorst;
  });
  std::size_t widest = 0;
  for (const FileVerdict& one : all) {
    widest = std::max(widest, one.mark.size());
  }
  Page page(options);
  page.strong_paragraph(fmt::format("{} layouts, the worst first:", all.size()));
  for (const FileVerdict& one : all) {
    page.marked({.word = one.mark,
                 .ink = one.standing ? ink_of(*one.standing) : Ink::red,
                 .text_column = Page::kIndent + widest + 2},
                base::escaped(one.file) + ": " + one.text);
  }
  return page.take();
}

}  // namespace ductledger::text
