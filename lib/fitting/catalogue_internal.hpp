#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
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

/// The content of a file once it is read: threads that only look at it take no lock.
class Ready {
 public:
  Ready() = default;
  Ready(const Ready& other) : document_(other.get()) {}
  Ready& operator=(const Ready& other) {
    set(other.get());
    return *this;
  }
  ~Ready() = default;
  [[nodiscard]] const Document* get() const { return document_.load(std::memory_order_acquire); }
  void set(const Document* document) { document_.store(document, std::memory_order_release); }

 private:
  std::atomic<const Document*> document_{nullptr};
};

/// One file: what it holds is known at once, its content is read when first needed.
struct File {
  const EmbeddedFile* embedded = nullptr;  ///< null for a file that was added
  std::string_view content;                ///< for the hash
  base::SourcePtr text;                    ///< keeps the content of an added file
  std::vector<Held> held;
  std::vector<std::string> tables;
  std::shared_ptr<const Document> document;
  Ready ready{};  ///< of `document`
};

struct Catalogue::Impl {
  mutable base::RecursiveMutex guard;
  mutable std::vector<File> files;
  mutable std::optional<std::vector<Source>> sources;
  mutable std::string hash;  ///< of all contents; empty: not asked for since a file was added

  Impl() = default;
  Impl(const Impl& other) {
    const base::Lock<base::RecursiveMutex> lock(other.guard);
    files = other.files;
    sources = other.sources;
    hash = other.hash;
  }
  Impl& operator=(const Impl&) = delete;
  ~Impl() = default;

  const Document& document(File& file) const;
  const std::vector<Source>& all_sources() const;
  /// Entries of a kind (and type, unless empty), each key once, the latest in the first one's
  /// place.
  std::vector<const Entry*> entries(Kind kind, std::string_view type) const;
  const SupportTable* table(std::string_view name) const;
  /// The entry added last that fits.
  const Entry* fitting_entry(const Piece& piece, const std::string& type) const;
};

}  // namespace ductledger::fitting
