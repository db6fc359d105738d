#pragma once

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
    long size = 0;
    unsigned long file = 0;  ///< its number: another one may take its place within a clock's tick
    long changed_s = 0;
    long changed_ns = 0;
    friend bool operator==(const Seen&, const Seen&) = default;
  };
  [[nodiscard]] static Seen look(const std::string& path);

  std::vector<std::string> paths_;
  std::vector<Seen> seen_;
};

}  // namespace ductledger::app
