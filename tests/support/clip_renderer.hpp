#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <functional>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/light.hpp"

// What a rolling-shutter camera records, by brute force: every row integrates the light over its
// own exposure numerically. Shares no formula with what it tests.

namespace lampbeat::test {

/// A scene under one light, filmed.
struct FilmedScene {
  Light light;
  FrameRate fps{25, 1};
  double exposure_s = 1.0 / 250.0;
  double readout_s = 0.016;
  double seconds = 3.0;
  int width = 320;
  int height = 180;
  int bits = 8;
  bool full_range = false;
  TransferFunction transfer;
  double level = 0.25;          ///< linear light of the wall at the light's mean
  double gradient = 0.0;        ///< brightness falls by this share from left-top to right-bottom
  double texture = 0.0;         ///< rms of a fixed fine texture, relative
  double noise = 0.0;           ///< rms of sensor noise per pixel, relative to the wall
  double exposure_drift = 0.0;  ///< the exposure automatic swings the level by ± this share
  double drift_hz = 0.3;
  bool foreground = false;        ///< two dark shapes wander through the shot
  std::uint64_t start_frame = 0;  ///< moves the first frame in time
  unsigned seed = 7;
};

/// Mean of the light over one row's exposure.
inline double row_light(const FilmedScene& scene, double frame, double row) {
  const double start = frame * scene.fps.frame_s() + row * scene.readout_s / scene.height;
  if (scene.exposure_s <= 0.0) return light_at(scene.light, start);
  double fastest = 100.0;
  for (const LightComponent& c : scene.light.components) fastest = std::max(fastest, c.hz);
  const int steps = 24 + static_cast<int>(24.0 * fastest * scene.exposure_s);
  double sum = 0.0;
  for (int i = 0; i < steps; ++i) {
    sum += light_at(scene.light, start + scene.exposure_s * (i + 0.5) / steps);
  }
  return sum / steps;
}

/// The scene as a clip, rendered frame by frame.
class FilmedClip final : public ClipSource {
 public:
  explicit FilmedClip(const FilmedScene& scene) : scene_(scene), random_(scene.seed) {
    format_.name = "filmed scene";
    format_.width = scene.width;
    format_.height = scene.height;
    format_.fps = scene.fps;
    format_.bits = scene.bits;
    format_.full_range = scene.full_range;
    format_.chroma = "mono";
    frames_ = static_cast<std::uint64_t>(std::lround(scene.seconds * scene.fps.per_s()));
    luma_.resize(static_cast<std::size_t>(scene.width) * static_cast<std::size_t>(scene.height));
    std::mt19937 paint(scene.seed + 1000);
    std::normal_distribution<double> normal;
    for (std::size_t i = 0; i < luma_.size(); ++i) {
      const double x = static_cast<double>(i % static_cast<std::size_t>(scene.width)) / scene.width;
      const double y =
          static_cast<double>(i / static_cast<std::size_t>(scene.width)) / scene.height;
      const double slope = 1.0 - scene.gradient * (0.5 * x + 0.5 * y);
      // Wallpaper: a stripe pattern down the picture plus fine grain.
      const double paper = scene.texture * (std::sin(2.0 * std::numbers::pi * 5.3 * y + 3.0 * x) +
                                            0.5 * normal(paint));
      wall_.push_back(scene.level * slope * std::max(0.2, 1.0 + paper));
    }
  }

  const ClipFormat& format() const override { return format_; }

  const std::vector<std::uint16_t>* next() override {
    if (at_ >= frames_) return nullptr;
    const auto frame = static_cast<double>(at_ + scene_.start_frame);
    const double seconds = static_cast<double>(at_) * scene_.fps.frame_s();
    const double automatic =
        1.0 +
        scene_.exposure_drift * std::sin(2.0 * std::numbers::pi * scene_.drift_hz * seconds + 0.7);
    std::normal_distribution<double> normal;
    const double codes = static_cast<double>((1 << scene_.bits) - 1);
    const double step = static_cast<double>(1 << (scene_.bits - 8));
    std::size_t i = 0;
    for (int y = 0; y < scene_.height; ++y) {
      const double lit = row_light(scene_, frame, y) * automatic;
      for (int x = 0; x < scene_.width; ++x, ++i) {
        double light = (is_foreground(x, y, seconds) ? 0.4 * scene_.level : wall_[i]) * lit;
        if (scene_.noise > 0.0) light += scene_.noise * scene_.level * normal(random_);
        const double signal = encode(scene_.transfer, light);
        const double code = scene_.full_range ? codes * signal : step * (16.0 + 219.0 * signal);
        luma_[i] =
            static_cast<std::uint16_t>(std::clamp(std::lround(code), 0L, static_cast<long>(codes)));
      }
    }
    ++at_;
    return &luma_;
  }

 private:
  bool is_foreground(int x, int y, double seconds) const {
    if (!scene_.foreground) return false;
    const double w = scene_.width;
    const double h = scene_.height;
    // A cook walking to and fro, and an arm stirring quickly.
    const double walker = w * (0.45 + 0.35 * std::sin(2.0 * std::numbers::pi * 0.23 * seconds));
    const double arm = h * (0.6 + 0.2 * std::sin(2.0 * std::numbers::pi * 1.1 * seconds));
    return (std::abs(x - walker) < 0.1 * w && y > 0.25 * h) ||
           (std::abs(x - walker - 0.15 * w) < 0.08 * w && std::abs(y - arm) < 0.06 * h);
  }

  FilmedScene scene_;
  ClipFormat format_;
  std::uint64_t frames_ = 0;
  std::uint64_t at_ = 0;
  std::vector<double> wall_;
  std::vector<std::uint16_t> luma_;
  std::mt19937 random_;
};

/// Writes any clip as YUV4MPEG2, 4:2:0 with neutral chroma, 8 or more bits.
inline void write_y4m(ClipSource& clip, const std::string& path) {
  std::ofstream out(path, std::ios::binary);
  const ClipFormat& f = clip.format();
  out << "YUV4MPEG2 W" << f.width << " H" << f.height << " F" << f.fps.numerator << ":"
      << f.fps.denominator << " Ip A1:1 C420"
      << (f.bits > 8 ? "p" + std::to_string(f.bits) : std::string("jpeg"))
      << " XCOLORRANGE=" << (f.full_range ? "FULL" : "LIMITED") << "\n";
  const auto put = [&](std::string& bytes, unsigned value) {
    bytes += static_cast<char>(value & 255U);
    if (f.bits > 8) bytes += static_cast<char>(value >> 8U);
  };
  const auto chroma = 2 * static_cast<std::size_t>((f.width + 1) / 2) *
                      static_cast<std::size_t>((f.height + 1) / 2);
  while (const auto* luma = clip.next()) {
    std::string bytes = "FRAME\n";
    for (const std::uint16_t value : *luma) put(bytes, value);
    for (std::size_t i = 0; i < chroma; ++i) put(bytes, 1U << (f.bits - 1));
    out << bytes;
  }
}

/// A light of mains ripple: twice the mains frequency and its second harmonic.
inline Light ripple(double hz, double amplitude, double second = 0.0) {
  Light light;
  light.name = "ripple";
  light.mains_hz = hz / 2.0;
  light.components.push_back({hz, amplitude, 0.4, 2});
  if (second > 0.0) light.components.push_back({2.0 * hz, second, 1.3, 4});
  return light;
}

}  // namespace lampbeat::test
