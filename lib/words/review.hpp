#pragma once

#include <string>

#include "study/review_change.hpp"
#include "study/review_letter.hpp"

/// Sentences that the views of a review share.
namespace ductledger::words {

/// `0 not met, 12 not shown, ...`; a handful of rules, or none that applies, is said before.
[[nodiscard]] std::string counts(const study::ReviewResult& result);
/// `irc-2021, combustion-safety and common-practice`, as they may stand in a terminal.
[[nodiscard]] std::string set_names(const study::ReviewResult& result);
/// Our own figure beside one handed in: a value, or the bounds that are known of it.
[[nodiscard]] std::string calculated(const rules::Refigured& figure, units::System system);
/// What to do about a point of a letter: how to mend it, or what to state.
[[nodiscard]] std::string to_do(const rules::Judgement& point);
/// What a letter is and is not.
[[nodiscard]] const char* letter_preface() noexcept;
[[nodiscard]] const char* letter_end() noexcept;
/// `2 cleared, 1 new, 3 changed.`
[[nodiscard]] std::string changes(const study::ReviewChanges& changes);
/// `was not shown, is met`.
[[nodiscard]] std::string verdicts(const study::JudgementChange& change);

}  // namespace ductledger::words
