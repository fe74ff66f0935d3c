#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <vector>

namespace lampbeat::test {

/// Intra coding of a picture: transforms of 8 × 8 blocks, rounded to `step` code values (their
/// common scale such that a pixel's rounding would be `step` too).
class BlockCoder {
 public:
  BlockCoder() {
    for (std::size_t k = 0; k < 8; ++k) {
      for (std::size_t i = 0; i < 8; ++i) {
        basis_[k][i] =
            (k == 0 ? std::sqrt(0.125) : 0.5) * std::cos(std::numbers::pi * static_cast<double>(k) *
                                                         (static_cast<double>(i) + 0.5) / 8.0);
      }
    }
  }

  void code(std::vector<std::uint16_t>& luma, std::size_t width, double step) const {
    const std::size_t height = luma.size() / width;
    for (std::size_t y = 0; y + 8 <= height; y += 8) {
      for (std::size_t x = 0; x + 8 <= width; x += 8) code_block(&luma[y * width + x], width, step);
    }
  }

 private:
  using Block = std::array<std::array<double, 8>, 8>;

  void code_block(std::uint16_t* corner, std::size_t width, double step) const {
    Block pixels{};
    for (std::size_t r = 0; r < 8; ++r) {
      for (std::size_t c = 0; c < 8; ++c) pixels[r][c] = corner[r * width + c];
    }
    Block lines{};
    each([&](std::size_t a, std::size_t b, std::size_t i) {
      lines[a][b] += pixels[a][i] * basis_[b][i];
    });
    Block transformed{};
    each([&](std::size_t a, std::size_t b, std::size_t i) {
      transformed[a][b] += lines[i][b] * basis_[a][i];
    });
    for (auto& line : transformed) {
      for (double& v : line) v = step * std::round(v / step);
    }
    lines = {};
    each([&](std::size_t a, std::size_t b, std::size_t i) {
      lines[a][b] += transformed[i][b] * basis_[i][a];
    });
    pixels = {};
    each([&](std::size_t a, std::size_t b, std::size_t i) {
      pixels[a][b] += lines[a][i] * basis_[i][b];
    });
    for (std::size_t r = 0; r < 8; ++r) {
      for (std::size_t c = 0; c < 8; ++c) {
        corner[r * width + c] =
            static_cast<std::uint16_t>(std::clamp(std::lround(pixels[r][c]), 0L, 255L));
      }
    }
  }

  template <typename Do>
  static void each(Do act) {
    for (std::size_t a = 0; a < 8; ++a) {
      for (std::size_t b = 0; b < 8; ++b) {
        for (std::size_t i = 0; i < 8; ++i) act(a, b, i);
      }
    }
  }

  std::array<std::array<double, 8>, 8> basis_{};
};

}  // namespace lampbeat::test
