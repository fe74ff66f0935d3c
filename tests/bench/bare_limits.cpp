#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstring>
#include <memory>
#include <string_view>
#include <vector>

// The least anybody could do with a capture, as a process of its own:
//   decode CAPTURE.wav...   libsndfile, lowest, highest and sum
//   parse TABLE.csv...      std::from_chars over time and value, the same three

namespace {

struct Extent {
  double lowest = HUGE_VAL;
  double highest = -HUGE_VAL;
  double sum = 0.0;
};

/// Several of each, which the processor adds side by side.
class Sums {
 public:
  void add(const float* value, std::size_t count) {
    std::size_t i = 0;
    for (; i + lanes <= count; i += lanes) {
      for (std::size_t k = 0; k < lanes; ++k) {
        const float x = value[i + k];
        low_[k] = x < low_[k] ? x : low_[k];
        high_[k] = x > high_[k] ? x : high_[k];
        sum_[k] += double{x};
      }
    }
    for (; i < count; ++i) {
      low_[0] = std::min(low_[0], value[i]);
      high_[0] = std::max(high_[0], value[i]);
      sum_[0] += double{value[i]};
    }
  }

  Extent extent() const {
    Extent all;
    for (std::size_t k = 0; k < lanes; ++k) {
      all.lowest = std::min(all.lowest, double{low_[k]});
      all.highest = std::max(all.highest, double{high_[k]});
      all.sum += sum_[k];
    }
    return all;
  }

 private:
  static constexpr std::size_t lanes = 16;
  static constexpr std::array<float, lanes> all_of(float value) {
    std::array<float, lanes> array{};
    array.fill(value);
    return array;
  }
  std::array<float, lanes> low_ = all_of(HUGE_VALF);
  std::array<float, lanes> high_ = all_of(-HUGE_VALF);
  std::array<double, lanes> sum_{};
};

Extent decoded(const char* path) {
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> file(sf_open(path, SFM_READ, &info), sf_close);
  if (!file) return {};
  std::vector<float> block(std::size_t{65536} * static_cast<std::size_t>(info.channels));
  Sums sums;
  for (;;) {
    const sf_count_t frames = sf_readf_float(file.get(), block.data(), 65536);
    if (frames <= 0) return sums.extent();
    sums.add(block.data(), static_cast<std::size_t>(frames * info.channels));
  }
}

/// Both numbers of a line; a heading has none.
bool parse_line(const char* p, const char* end, double& time, double& value) {
  const auto [comma, error] = std::from_chars(p, end, time);
  if (error != std::errc() || comma == end || *comma != ',') return false;
  return std::from_chars(comma + 1, end, value).ec == std::errc();
}

Extent parsed(const char* path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path, "rb"), std::fclose);
  if (!file) return {};
  std::vector<char> buffer(std::size_t{1} << 18);
  std::size_t kept = 0;
  Extent extent;
  for (;;) {
    const std::size_t count = std::fread(buffer.data() + kept, 1, buffer.size() - kept, file.get());
    if (count == 0) return extent;
    const char* p = buffer.data();
    const char* const end = p + kept + count;
    while (const void* found = std::memchr(p, '\n', static_cast<std::size_t>(end - p))) {
      double time = 0.0;
      double value = 0.0;
      const auto* const stop = static_cast<const char*>(found);
      if (parse_line(p, stop, time, value)) {
        extent.lowest = std::min(extent.lowest, value);
        extent.highest = std::max(extent.highest, value);
        extent.sum += value + time;
      }
      p = stop + 1;
    }
    kept = static_cast<std::size_t>(end - p);
    std::memmove(buffer.data(), p, kept);
  }
}

}  // namespace

int main(int argc, char** argv) {
  const std::string_view what = argc > 2 ? argv[1] : "";
  if (what != "decode" && what != "parse") {
    fmt::print(stderr, "usage: {} decode|parse FILE...\n", argv[0]);
    return 2;
  }
  for (int i = 2; i < argc; ++i) {
    const Extent extent = what == "decode" ? decoded(argv[i]) : parsed(argv[i]);
    fmt::print("{} {} {} {}\n", argv[i], extent.lowest, extent.highest, extent.sum);
  }
  return 0;
}
