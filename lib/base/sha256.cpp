#include "base/sha256.hpp"

#include <bit>

namespace ductledger::base {
namespace {

constexpr std::array<std::uint32_t, 64> kRound{
    0x428a2f98U, 0x71374491U, 0xb5c0fbcfU, 0xe9b5dba5U, 0x3956c25bU, 0x59f111f1U, 0x923f82a4U,
    0xab1c5ed5U, 0xd807aa98U, 0x12835b01U, 0x243185beU, 0x550c7dc3U, 0x72be5d74U, 0x80deb1feU,
    0x9bdc06a7U, 0xc19bf174U, 0xe49b69c1U, 0xefbe4786U, 0x0fc19dc6U, 0x240ca1ccU, 0x2de92c6fU,
    0x4a7484aaU, 0x5cb0a9dcU, 0x76f988daU, 0x983e5152U, 0xa831c66dU, 0xb00327c8U, 0xbf597fc7U,
    0xc6e00bf3U, 0xd5a79147U, 0x06ca6351U, 0x14292967U, 0x27b70a85U, 0x2e1b2138U, 0x4d2c6dfcU,
    0x53380d13U, 0x650a7354U, 0x766a0abbU, 0x81c2c92eU, 0x92722c85U, 0xa2bfe8a1U, 0xa81a664bU,
    0xc24b8b70U, 0xc76c51a3U, 0xd192e819U, 0xd6990624U, 0xf40e3585U, 0x106aa070U, 0x19a4c116U,
    0x1e376c08U, 0x2748774cU, 0x34b0bcb5U, 0x391c0cb3U, 0x4ed8aa4aU, 0x5b9cca4fU, 0x682e6ff3U,
    0x748f82eeU, 0x78a5636fU, 0x84c87814U, 0x8cc70208U, 0x90befffaU, 0xa4506cebU, 0xbef9a3f7U,
    0xc67178f2U};

}  // namespace

void Sha256::block(const unsigned char* bytes) noexcept {
  std::array<std::uint32_t, 64> w{};
  for (std::size_t i = 0; i < 16; ++i) {
    w[i] = (std::uint32_t{bytes[4 * i]} << 24U) | (std::uint32_t{bytes[4 * i + 1]} << 16U) |
           (std::uint32_t{bytes[4 * i + 2]} << 8U) | std::uint32_t{bytes[4 * i + 3]};
  }
  for (std::size_t i = 16; i < 64; ++i) {
    const std::uint32_t s0 = std::rotr(w[i - 15], 7) ^ std::rotr(w[i - 15], 18) ^ (w[i - 15] >> 3U);
    const std::uint32_t s1 = std::rotr(w[i - 2], 17) ^ std::rotr(w[i - 2], 19) ^ (w[i - 2] >> 10U);
    w[i] = w[i - 16] + s0 + w[i - 7] + s1;
  }
  auto [a, b, c, d, e, f, g, h] = state_;
  for (std::size_t i = 0; i < 64; ++i) {
    const std::uint32_t s1 = std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25);
    const std::uint32_t t1 = h + s1 + ((e & f) ^ (~e & g)) + kRound[i] + w[i];
    const std::uint32_t s0 = std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22);
    const std::uint32_t t2 = s0 + ((a & b) ^ (a & c) ^ (b & c));
    h = g;
    g = f;
    f = e;
    e = d + t1;
    d = c;
    c = b;
    b = a;
    a = t1 + t2;
  }
  const std::array<std::uint32_t, 8> added{a, b, c, d, e, f, g, h};
  for (std::size_t i = 0; i < 8; ++i) {
    state_[i] += added[i];
  }
}

Sha256& Sha256::update(std::string_view bytes) noexcept {
  total_bytes_ += bytes.size();
  for (const char byte : bytes) {
    rest_[rest_size_++] = static_cast<unsigned char>(byte);
    if (rest_size_ == rest_.size()) {
      block(rest_.data());
      rest_size_ = 0;
    }
  }
  return *this;
}

std::string Sha256::hex() const {
  Sha256 last = *this;
  const std::uint64_t bits = total_bytes_ * 8U;
  last.update(std::string_view("\x80", 1));
  while (last.rest_size_ != 56) {
    last.update(std::string_view("\0", 1));
  }
  for (unsigned shift = 64; shift > 0; shift -= 8) {
    const char byte = static_cast<char>((bits >> (shift - 8U)) & 0xffU);
    last.update(std::string_view(&byte, 1));
  }
  std::string text;
  for (const std::uint32_t word : last.state_) {
    for (unsigned shift = 32; shift > 0; shift -= 4) {
      text += "0123456789abcdef"[(word >> (shift - 4U)) & 0xfU];
    }
  }
  return text;
}

std::string sha256_hex(std::string_view bytes) { return Sha256().update(bytes).hex(); }

}  // namespace ductledger::base
