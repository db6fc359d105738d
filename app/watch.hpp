#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace ductledger::app {

/// Tells when one of some files is another than when it was last looked at.
class Watch {
 public:
  explicit Watch(std::span<const std::string> paths);

  /// Waits for it. @return false: a file is gone for a second, longer than an editor takes to
  /// replace one
  [[nodiscard]] bool changed();

 private:
  struct Seen {
    bool there = false;
    std::filesystem::file_time_type written{};
    std::uintmax_t size = 0;
    friend bool operator==(const Seen&, const Seen&) = default;
  };
  [[nodiscard]] static Seen look(const std::filesystem::path& path);

  std::vector<std::filesystem::path> paths_;
  std::vector<Seen> seen_;
};

}  // namespace ductledger::app
