#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace ductledger::base {

/// SHA-256 of a text given in pieces. @source NIST FIPS 180-4
class Sha256 {
 public:
  Sha256& update(std::string_view bytes) noexcept;
  /// The digest of what was given so far, as 64 lower-case hexadecimal digits.
  [[nodiscard]] std::string hex() const;

 private:
  void block(const unsigned char* bytes) noexcept;

  std::array<std::uint32_t, 8> state_{0x6a09e667U,
                                      0xbb67ae85U,
                                      0x3c6ef372U,
                                      0xa54ff53aU,
                                      0x510e527fU,
                                      0x9b05688cU,
                                      0x1f83d9abU,
                                      0x5be0cd19U};
  std::array<unsigned char, 64> rest_{};
  std::size_t rest_size_ = 0;
  std::uint64_t total_bytes_ = 0;
};

[[nodiscard]] std::string sha256_hex(std::string_view bytes);

}  // namespace ductledger::base
