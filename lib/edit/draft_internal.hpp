#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edit/edit.hpp"

namespace ductledger::edit {

/// A copy of a layout's tree while it is edited.
class Draft {
 public:
  /// @param layout outlives the draft
  Draft(const layout::Layout& layout, const fitting::Catalogue& catalogue);

  /// The keys of a mapping, made where they are not there.
  yaml::Node& mapping(yaml::Node& parent, std::string_view key);
  yaml::Node& root() { return root_; }
  /// What pieces are meant from here on: of the run, or of a branch in `Layout::branches`.
  void mean(std::optional<std::size_t> branch) { branch_ = branch; }
  yaml::Node& run();
  /// The items of the list of pieces that is meant, one for each of the layout's.
  std::vector<yaml::Node>& pieces();
  /// A piece's keys; a bare value first becomes the key it stands for.
  yaml::Node& keys(std::size_t piece);
  /// The same of an item of any list of pieces.
  static yaml::Node& keys_of(yaml::Node& item);

  static void set(yaml::Node& mapping, std::string_view key, std::string value);
  static void erase(yaml::Node& mapping, std::string_view key);
  static bool has(const yaml::Node& mapping, std::string_view key);

  /// A piece of one kind and one bare value, at the place of another.
  [[nodiscard]] yaml::Node piece(std::string_view kind,
                                 std::string value,
                                 const base::Span& place) const;
  /// A piece from its text.
  [[nodiscard]] base::Checked<yaml::Node> piece(std::string_view text,
                                                const base::Span& place) const;

  /// Takes pieces out; a straight's material moves to the next straight. Call it last: indices are
  /// those of the layout.
  void take_out(std::vector<std::size_t> gone);
  /// Drops what was stated of the fitting that stood there: figures, the source, parameters.
  void forget_fitting(std::size_t piece);

  void remark(units::Message text) { remarks_.push_back(std::move(text)); }
  [[nodiscard]] Edited read() &&;

 private:
  [[nodiscard]] const std::vector<layout::Piece>& read_pieces() const;
  void hand_on_material(std::size_t from, const std::vector<std::size_t>& gone);

  const layout::Layout& layout_;
  const fitting::Catalogue& catalogue_;
  yaml::Node root_;
  std::optional<std::size_t> branch_;
  std::vector<units::Message> remarks_;
};

[[nodiscard]] base::Diagnostic refusal(const layout::Layout& layout,
                                       const base::Span& place,
                                       std::string reason);

}  // namespace ductledger::edit
