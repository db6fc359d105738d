#pragma once

#include <string>
#include <vector>

#include "study/review.hpp"

/// What a review leaves the applicant to do.
namespace ductledger::study {

/// What one code is not shown to be met in.
struct LetterCode {
  std::string title;
  bool advice = false;  ///< trade practice, no code
  std::vector<const rules::Judgement*> points;
};

/// What is not met and not shown, code by code; nothing that is met or left to the authority. In
/// each code in the order of mending: where the duct goes and ends, since that moves the airflow,
/// then the duct, then the airflow and what it asks for, then what stands by itself; of one topic
/// what is not met first. Advice comes last. The points are those of the result.
[[nodiscard]] std::vector<LetterCode> letter(const ReviewResult& result);

}  // namespace ductledger::study
