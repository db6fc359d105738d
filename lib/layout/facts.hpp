#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/source.hpp"
#include "units/quantity_text.hpp"

/// What a layout states beside the arithmetic: how the duct is built, where it ends, what the
/// appliance is listed to. Rules ask for these; a fact that the file does not state has no value.
namespace ductledger::layout {

enum class FactKind {
  yes_no,
  quantity,  ///< SI; a plain number where the dimension is `number`
  count,     ///< whole number
  word,      ///< one of a closed set
  words,     ///< some of a closed set
  listing,   ///< names of standards, such as `UL 507`; an open set
};

/// One key that a layout may state.
struct FactKey {
  const char* path;  ///< `run.termination.to_opening`
  FactKind kind = FactKind::yes_no;
  units::Dimension dimension = units::Dimension::number;  ///< quantity only
  double lowest = 0.0;                                    ///< quantity and count, SI
  double highest = 0.0;
  const char* range = "";  ///< the range as people read it
  /// Word and words: those there are, blanks between. Count: units it may carry. Quantity: `none`
  /// where there may be nothing to measure to.
  const char* choices = "";
  const char* example = "yes";
  const char* meaning = "";
};

/// A fact as the file states it.
struct StatedFact {
  const FactKey* key = nullptr;
  bool yes = false;
  double value_si = 0.0;           ///< quantity and count; infinite where `none` is stated
  std::vector<std::string> words;  ///< word: one; words and listing: one or more; `none`
  base::Span span;                 ///< of the value

  [[nodiscard]] const std::string& word() const { return words.front(); }
  [[nodiscard]] bool has_word(std::string_view word) const;
};

/// Every key, in the order of the layout format.
[[nodiscard]] std::span<const FactKey> fact_keys();
/// Null: no such key.
[[nodiscard]] const FactKey* fact_key(std::string_view path);

/// The facts of one layout, by path. Asking for a path that is no key is a fault of ours and throws
/// `LogicError`.
class Facts {
 public:
  /// Null: not stated.
  [[nodiscard]] const StatedFact* find(std::string_view path) const;
  [[nodiscard]] std::optional<bool> yes_no(std::string_view path) const;
  /// A quantity in SI, or a count.
  [[nodiscard]] std::optional<double> value(std::string_view path) const;
  /// Empty: not stated.
  [[nodiscard]] std::string_view word(std::string_view path) const;

  void state(StatedFact fact);
  [[nodiscard]] bool empty() const noexcept { return stated_.empty(); }
  [[nodiscard]] const std::map<std::string, StatedFact, std::less<>>& all() const noexcept {
    return stated_;
  }

 private:
  std::map<std::string, StatedFact, std::less<>> stated_;
};

/// One spelling of a standard's name: upper case, one space between its parts (`ul-507` and
/// `UL507` are `UL 507`).
[[nodiscard]] std::string listing_name(std::string_view text);

/// Thickness of steel sheet of a gauge as residential duct tables pair the two (30 is 0.013 in, 26
/// is 0.019 in); nothing outside 16 to 30 or for a gauge that they do not name.
/// @source irc-oklahoma-m1601 table of duct thicknesses, 30 and 28; imc-506 16; 26 to 18 recalled
[[nodiscard]] std::optional<double> sheet_thickness_m(int gauge);

}  // namespace ductledger::layout
