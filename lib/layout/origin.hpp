#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "base/source.hpp"
#include "yaml/tree.hpp"

namespace ductledger::layout {

struct Layout;

/// What stands where in a layout's file, by its keys instead of its lines. Two files that differ in
/// comments, quotes, style or the order of keys have the same origins; an edited layout keeps those
/// of the file it came from, so that what an edit moves or changes is still told apart.
class Origins {
 public:
  explicit Origins(std::shared_ptr<const yaml::Tree> tree);

  /// `run.pieces[3].straight` of a key, or of the value under it; items count from 1. Empty:
  /// nothing of the file stands there.
  [[nodiscard]] std::string path(const base::Span& place) const;
  /// The place's rank: sections as the layout format lists them, items of a list in their order,
  /// other keys by their names, those of lists and mappings behind the others. What is not of the
  /// file comes last.
  [[nodiscard]] std::size_t rank(const base::Span& place) const noexcept;

 private:
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  struct Place {
    std::size_t offset = 0;  ///< [bytes]
    int length = 0;          ///< [characters]; of a list or a mapping 1
    bool collection = false;
    std::size_t step = kNone;  ///< in `steps_`
    std::size_t rank = 0;
  };
  struct Step {
    std::size_t parent = kNone;
    const std::string* key = nullptr;  ///< null: an item
    std::size_t item = 0;
  };
  void add(const yaml::Entry& entry, std::size_t parent);
  void add(const base::Span& place, bool collection, std::size_t step);
  void walk(const yaml::Node& node, std::size_t step);
  [[nodiscard]] const Place* find(const base::Span& place) const noexcept;

  std::shared_ptr<const yaml::Tree> tree_;  ///< holds the keys
  std::vector<Step> steps_;
  std::vector<Place> places_;  ///< by offset
};

/// A digest of what a layout says: title, air, appliance, fans, and the sections, pieces and
/// figures of the run and of each branch, in SI, to a ten-millionth of a millimetre. Files of one
/// digest are one plan; what else they hold (the house, facts, readings) has no errors of its own
/// that two plans could share. 16 hexadecimal digits.
[[nodiscard]] std::string digest(const Layout& layout);

}  // namespace ductledger::layout
