#include "study/review_letter.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <tuple>

namespace ductledger::study {
namespace {

constexpr auto kMending = std::to_array<std::string_view>({"discharge",
                                                           "termination",
                                                           "clearance",
                                                           "duct",
                                                           "duct-length",
                                                           "exhaust-rate",
                                                           "makeup-air",
                                                           "combustion",
                                                           "fire",
                                                           "equipment",
                                                           "sound",
                                                           "electrical"});

auto rank(const rules::Judgement* point) {
  return std::make_tuple(std::ranges::find(kMending, point->rule->topic) - kMending.begin(),
                         point->verdict);
}

}  // namespace

std::vector<LetterCode> letter(const ReviewResult& result) {
  std::vector<LetterCode> codes;
  for (const rules::Judgement& one : result.judgements) {
    if (one.verdict != rules::Verdict::not_met && one.verdict != rules::Verdict::not_shown) {
      continue;
    }
    const std::string& title = one.rule->code_title.empty() ? one.set->title : one.rule->code_title;
    auto code = std::ranges::find(codes, title, &LetterCode::title);
    if (code == codes.end()) {
      codes.push_back({.title = title, .advice = one.set->advice, .points = {}});
      code = codes.end() - 1;
    }
    code->points.push_back(&one);
  }
  for (LetterCode& code : codes) {
    std::ranges::stable_sort(code.points, {}, rank);
  }
  std::ranges::stable_sort(codes, {}, &LetterCode::advice);
  return codes;
}

}  // namespace ductledger::study
