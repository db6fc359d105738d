#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "findings/finding.hpp"

/// What a rule may ask of a layout: a closed set of named values. A fact that the file does not
/// state has no value; nothing is assumed for it.
namespace ductledger::rules {

enum class FactKind { quantity, word, yes_no };

/// How a value came to be known.
enum class Basis {
  worked_out,  ///< calculated, or an answer about the file itself
  assumed,     ///< the file leaves it out, and a default was taken
  stated,      ///< the file says so
  seen_on_site
};
inline constexpr auto kBasisWords = base::words<Basis>({{Basis::worked_out, "worked-out"},
                                                        {Basis::assumed, "assumed"},
                                                        {Basis::stated, "stated"},
                                                        {Basis::seen_on_site, "seen-on-site"}});
[[nodiscard]] constexpr const char* word(Basis basis) { return kBasisWords.of(basis); }

/// One value of a fact, where it came from and how sure it is.
struct FactValue {
  double si = 0.0;                   ///< quantity
  std::string word;                  ///< word
  bool yes = false;                  ///< yes_no
  base::Span span;                   ///< line 0: calculated, or the layout as a whole
  std::optional<result::Band> band;  ///< quantity: k = 2; an end may be open
  bool is_bound = false;             ///< only the band is known, `si` is an estimate in it
  Basis basis = Basis::worked_out;
  std::string seen;  ///< seen on site: the date, as stated
};
/// `stated`, `seen on site, 2026-03-14`, `assumed`; empty for what is worked out.
[[nodiscard]] std::string basis_words(const FactValue& value);

/// How several values of one fact are judged together.
enum class Over {
  all,  ///< one for each piece: a limit holds for every one
  any,  ///< several names of one thing, such as listings: one that fits is enough
};

/// A row of the closed set: what the layout states under a key, or what follows from the
/// calculation.
struct Fact {
  std::string
      name;  ///< as a rule file writes it: `run.termination.to_opening`, `delivered-airflow`
  std::string noun;    ///< of the result document's key
  std::string spoken;  ///< as a sentence says it
  std::string meaning;
  FactKind kind = FactKind::yes_no;
  units::Dimension dimension = units::Dimension::number;  ///< quantity only
  std::vector<std::string> words;                         ///< word only; empty: an open set
  Over over = Over::all;
  std::string key;                          ///< layout key that states it
  std::string example;                      ///< what to write there, as YAML
  const layout::FactKey* stated = nullptr;  ///< null: `read` works it out
  bool calculated = false;                  ///< by `read`; else read off what the file states
  std::vector<FactValue> (*read)(const result::Case& subject) = nullptr;
};

/// Every fact: those worked out first, then those stated, in the order of the layout format.
[[nodiscard]] const std::vector<Fact>& facts();
/// Index in `facts()`.
[[nodiscard]] std::optional<std::size_t> find_fact(std::string_view name);
[[nodiscard]] const std::vector<std::string>& fact_names();
/// Empty: not stated. @param index in `facts()`
[[nodiscard]] std::vector<FactValue> fact_values(std::size_t index, const result::Case& subject);
/// The key of a quantity in a result document: `termination_to_opening_m`.
[[nodiscard]] std::string result_key(const Fact& fact);

}  // namespace ductledger::rules
