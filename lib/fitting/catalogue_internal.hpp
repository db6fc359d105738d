#pragma once

#include <atomic>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/lock.hpp"
#include "fitting/embedded_internal.hpp"
#include "fitting/read_internal.hpp"

/// What a catalogue holds; its files in catalogue.cpp, its coefficients in coefficient.cpp.
namespace ductledger::fitting {

struct Held {
  Kind kind;
  std::string type;
};
struct HeldBefore {
  using is_transparent = void;
  using View = std::pair<Kind, std::string_view>;
  static View view(const Held& held) noexcept { return {held.kind, held.type}; }
  static View view(const View& held) noexcept { return held; }
  bool operator()(const auto& a, const auto& b) const noexcept { return view(a) < view(b); }
};

/// What is made when it is first needed: threads that only look at it take no lock.
template <class T>
class Ready {
 public:
  Ready() = default;
  Ready(const Ready& other) : made_(other.get()) {}
  Ready& operator=(const Ready& other) {
    set(other.get());
    return *this;
  }
  ~Ready() = default;
  [[nodiscard]] const T* get() const { return made_.load(std::memory_order_acquire); }
  void set(const T* made) { made_.store(made, std::memory_order_release); }

 private:
  std::atomic<const T*> made_{nullptr};
};

/// One file: what it holds is known at once, its content is read when first needed.
struct File {
  const EmbeddedFile* embedded = nullptr;  ///< null for a file that was added
  std::string_view content;                ///< for the hash
  base::SourcePtr text;                    ///< keeps the content of an added file
  std::vector<Held> held;
  std::vector<std::string> tables;
  std::shared_ptr<const Document> document;
  Ready<Document> ready{};  ///< of `document`
};

/// What all files hold of one type, looked up again and again.
struct OfType {
  std::vector<const Entry*> entries;  ///< each key once, the latest in the first one's place
  Traits traits;                      ///< of all, the later over the earlier
};
struct TypeSlot {
  std::unique_ptr<const OfType> all;
  Ready<OfType> ready{};  ///< of `all`
};

struct Catalogue::Impl {
  mutable base::RecursiveMutex guard;
  mutable std::vector<File> files;
  mutable std::optional<std::vector<Source>> sources;
  mutable std::string hash;  ///< of all contents; empty: not asked for since a file was added
  mutable std::map<Held, TypeSlot, HeldBefore> types;  ///< those that a file holds
  std::map<Kind, std::vector<std::string>> types_of;   ///< in the order of the files

  Impl() = default;
  Impl(const Impl& other) {
    const base::Lock<base::RecursiveMutex> lock(other.guard);
    files = other.files;
    sources = other.sources;
    hash = other.hash;
    lay_out_types();
  }
  Impl& operator=(const Impl&) = delete;
  ~Impl() = default;

  const Document& document(File& file) const;
  const std::vector<Source>& all_sources() const;
  /// Has to follow every change of `files`.
  void lay_out_types();
  /// Of a type that no file holds: nothing.
  const OfType& of_type(Kind kind, std::string_view type) const;
  /// Entries of a kind, each key once, the latest in the first one's place.
  std::vector<const Entry*> entries(Kind kind) const;
  const SupportTable* table(std::string_view name) const;
  /// Types that fit where a piece's own does not, as the beginning of an advice; may be empty.
  std::string instead_of(const Piece& piece) const;
  /// The entry added last that fits.
  const Entry* fitting_entry(const Piece& piece, const std::string& type) const;
};

}  // namespace ductledger::fitting
