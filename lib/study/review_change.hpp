#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/review.hpp"

/// Two reviews of one permit: what became of what was objected to.
namespace ductledger::study {

enum class Became {
  added,    ///< not met or not shown, and was not before
  changed,  ///< another verdict, or the same on other facts
  cleared   ///< was not met or not shown, and is met or does not apply any more
};
inline constexpr auto kBecameWords = base::words<Became>(
    {{Became::added, "new"}, {Became::changed, "changed"}, {Became::cleared, "cleared"}});
[[nodiscard]] constexpr const char* word(Became kind) { return kBecameWords.of(kind); }

/// One rule that is judged otherwise than before.
struct JudgementChange {
  Became kind = Became::changed;
  const rules::Judgement* before = nullptr;  ///< null: was not judged
  const rules::Judgement* now = nullptr;     ///< null: is not judged any more
};

/// A finding, an override or a figure handed in that came or went.
struct RemarkChange {
  Became kind = Became::added;  ///< added or cleared
  std::string code;             ///< of a finding; else `stated` or `handed-in`
  units::Message said;
};

/// The pointers are into the two results.
struct ReviewChanges {
  std::vector<JudgementChange> rules;  ///< new, changed, cleared; in each the worst first
  std::vector<RemarkChange> remarks;   ///< what `check` warns of, overrides, figures handed in
  bool same_bytes = false;             ///< both files hold the same

  [[nodiscard]] std::size_t count(Became kind) const;
};

/// Rules are matched by set and name, a rule of a set that took another's place by name.
[[nodiscard]] ReviewChanges review_changes(const ReviewResult& before, const ReviewResult& now);

}  // namespace ductledger::study
