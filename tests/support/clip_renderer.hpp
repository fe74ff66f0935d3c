#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <functional>
#include <numbers>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/light.hpp"
#include "support/draws.hpp"

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
  std::function<double(double)> curve;  ///< in its place, linear light to signal
  double level = 0.25;                  ///< linear light of the wall at the light's mean
  double gradient = 0.0;        ///< brightness falls by this share from left-top to right-bottom
  double texture = 0.0;         ///< rms of a fixed fine texture, relative
  double noise = 0.0;           ///< rms of sensor noise per pixel, relative to the wall
  double exposure_drift = 0.0;  ///< the exposure automatic swings the level by ± this share
  double drift_hz = 0.3;
  bool foreground = false;        ///< two dark shapes wander through the shot
  std::uint64_t start_frame = 0;  ///< moves the first frame in time
  unsigned seed = 7;
  double daylight = 0.0;  ///< steady light of a window on the left, relative to the lamp there
  double vignette = 0.0;  ///< brightness lost at the corners, share
  /// What the camera does, in picture heights over a furnished room twice as wide and high as the
  /// picture; unused while all are 0.
  double pan_per_s = 0.0;
  double tilt_per_s = 0.0;
  double zoom_per_s = 0.0;  ///< share of the focal length
  double shake = 0.0;       ///< amplitude of a sway to and fro
  double shake_hz = 1.3;
  /// Where else the camera looks at a time in s: picture heights across and down. Empty: nowhere.
  std::function<std::array<double, 2>(double)> held;
  bool furnished = false;  ///< the furnished room even where the camera keeps still
  bool sparse = false;     ///< few, wide things in it
  /// When each delivered frame was taken, in s; equal times are the same picture twice. Empty: one
  /// frame period apart.
  std::vector<double> frame_times_s;

  bool moves() const {
    return pan_per_s != 0.0 || tilt_per_s != 0.0 || zoom_per_s != 0.0 || shake != 0.0 || held;
  }
};

/// A room with cupboards, shelves and shading, seen through a window that may move.
class FurnishedRoom {
 public:
  FurnishedRoom(int width, int height, unsigned seed, bool sparse)
      : width_(2 * width), height_(2 * height), light_(static_cast<std::size_t>(width_ * height_)) {
    std::mt19937 random(seed);
    const double tilt = between(random, -0.3, 0.3);
    for (int y = 0; y < height_; ++y) {
      for (int x = 0; x < width_; ++x) {
        at(x, y) = static_cast<float>(1.0 + tilt * (static_cast<double>(y) / height_ - 0.5));
      }
    }
    const int things =
        static_cast<int>(sparse ? between(random, 2.0, 8.0) : between(random, 6.0, 40.0));
    const double widest = sparse ? 0.9 : 0.3;
    for (int i = 0; i < things; ++i) {
      const bool shelf = between(random, 0.0, 1.0) < 0.3;
      const int w = static_cast<int>(
          (shelf ? between(random, 0.3, 1.0) : between(random, 0.02, widest)) * width_);
      const int h = static_cast<int>(
          (shelf ? between(random, 0.01, 0.05) : between(random, 0.03, 0.3)) * height_);
      const int left = static_cast<int>(between(random, -0.1, 1.0) * width_);
      const int top = static_cast<int>(between(random, -0.1, 1.0) * height_);
      const auto reflects = static_cast<float>(between(random, 0.25, 1.4));
      for (int y = std::max(top, 0); y < std::min(top + h, height_); ++y) {
        for (int x = std::max(left, 0); x < std::min(left + w, width_); ++x) at(x, y) = reflects;
      }
    }
  }

  /// Between the pixels, the room repeating itself beyond its walls.
  double seen(double x, double y) const {
    const double fx = std::floor(x);
    const double fy = std::floor(y);
    const int left = static_cast<int>(fx);
    const int top = static_cast<int>(fy);
    const double across = x - fx;
    const double down = y - fy;
    return (1.0 - down) * ((1.0 - across) * of(left, top) + across * of(left + 1, top)) +
           down * ((1.0 - across) * of(left, top + 1) + across * of(left + 1, top + 1));
  }

 private:
  float& at(int x, int y) { return light_[static_cast<std::size_t>(y * width_ + x)]; }
  double of(int x, int y) const {
    x = ((x % width_) + width_) % width_;
    y = ((y % height_) + height_) % height_;
    return static_cast<double>(light_[static_cast<std::size_t>(y * width_ + x)]);
  }

  int width_;
  int height_;
  std::vector<float> light_;
};

/// Mean of the light over one row's exposure.
inline double row_light(const FilmedScene& scene, double taken_s, double row) {
  const double start = taken_s + row * scene.readout_s / scene.height;
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
    format_.chroma = Chroma::mono;
    frames_ = scene.frame_times_s.empty()
                  ? static_cast<std::uint64_t>(std::lround(scene.seconds * scene.fps.per_s()))
                  : scene.frame_times_s.size();
    if (scene.moves() || scene.furnished) {
      room_.emplace(scene.width, scene.height, scene.seed + 2000, scene_.sparse);
    }
    for (int i = 0; i < codes_tabulated; ++i) {
      const double root = 1.2 * i / (codes_tabulated - 1);
      signal_.push_back(coded(root * root));
    }
    luma_.resize(static_cast<std::size_t>(scene.width) * static_cast<std::size_t>(scene.height));
    std::mt19937 paint(scene.seed + 1000);
    std::normal_distribution<double> normal;
    for (std::size_t i = 0; i < luma_.size(); ++i) {
      const double x = static_cast<double>(i % static_cast<std::size_t>(scene.width)) / scene.width;
      const double y =
          static_cast<double>(i / static_cast<std::size_t>(scene.width)) / scene.height;
      const double off_axis = 2.0 * ((x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5));
      const double slope =
          (1.0 - scene.gradient * (0.5 * x + 0.5 * y)) * (1.0 - scene.vignette * off_axis);
      // Wallpaper: a stripe pattern down the picture plus fine grain.
      const double paper = scene.texture * (std::sin(2.0 * std::numbers::pi * 5.3 * y + 3.0 * x) +
                                            0.5 * normal(paint));
      wall_.push_back(scene.level * slope * std::max(0.2, 1.0 + paper));
    }
  }

  const ClipFormat& format() const override { return format_; }

  const std::vector<std::uint16_t>* next() override {
    if (at_ >= frames_) return nullptr;
    const bool timed = !scene_.frame_times_s.empty();
    if (timed && at_ > 0 && scene_.frame_times_s[at_] == scene_.frame_times_s[at_ - 1]) {
      ++at_;
      return &luma_;
    }
    const double seconds =
        timed ? scene_.frame_times_s[at_] : static_cast<double>(at_) * scene_.fps.frame_s();
    const double taken_s = seconds + static_cast<double>(scene_.start_frame) * scene_.fps.frame_s();
    const double automatic =
        1.0 +
        scene_.exposure_drift * std::sin(2.0 * std::numbers::pi * scene_.drift_hz * seconds + 0.7);
    std::normal_distribution<double> normal;
    const double codes = static_cast<double>((1 << scene_.bits) - 1);
    const double step = static_cast<double>(1 << (scene_.bits - 8));
    std::size_t i = 0;
    for (int y = 0; y < scene_.height; ++y) {
      const double lit = row_light(scene_, taken_s, y) * automatic;
      for (int x = 0; x < scene_.width; ++x, ++i) {
        const double surface = room_ ? wall_[i] * in_room(x, y, seconds) : wall_[i];
        double light = (is_foreground(x, y, seconds) ? 0.4 * scene_.level : surface) *
                       (lit + automatic * scene_.daylight * std::exp(-3.0 * x / scene_.width));
        if (scene_.noise > 0.0) light += scene_.noise * scene_.level * normal(random_);
        const double signal = encoded(light);
        const double code = scene_.full_range ? codes * signal : step * (16.0 + 219.0 * signal);
        luma_[i] =
            static_cast<std::uint16_t>(std::clamp(std::lround(code), 0L, static_cast<long>(codes)));
      }
    }
    ++at_;
    return &luma_;
  }

 private:
  static constexpr int codes_tabulated = 16384;

  double coded(double light) const {
    return scene_.curve ? scene_.curve(light) : encode(scene_.transfer, light);
  }

  /// The transfer curve by a table over the root of light: closer than a thousandth of a code.
  double encoded(double light) const {
    const double at = std::sqrt(std::abs(light)) / 1.2 * (codes_tabulated - 1);
    if (at >= codes_tabulated - 1 || light < 0.0) return coded(light);
    const auto i = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(i);
    return (1.0 - part) * signal_[i] + part * signal_[i + 1];
  }

  double in_room(int x, int y, double seconds) const {
    const double sway =
        scene_.shake * std::sin(2.0 * std::numbers::pi * scene_.shake_hz * seconds + 0.3);
    const double nod =
        scene_.shake * std::sin(2.0 * std::numbers::pi * 0.83 * scene_.shake_hz * seconds);
    const double scale = 1.0 / (1.0 + scene_.zoom_per_s * seconds);
    const auto [across, down] =
        scene_.held ? scene_.held(seconds) : std::array<double, 2>{0.0, 0.0};
    const double h = scene_.height;
    return room_->seen(
        0.7 * scene_.width + (x - 0.5 * scene_.width) * scale +
            h * (scene_.pan_per_s * seconds + sway + across),
        0.7 * h + (y - 0.5 * h) * scale + h * (scene_.tilt_per_s * seconds + nod + down));
  }

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
  std::optional<FurnishedRoom> room_;
  std::vector<double> signal_;  // of light whose roots are evenly spaced
  std::vector<std::uint16_t> luma_;
  std::mt19937 random_;
};

/// Writes any clip as YUV4MPEG2, 4:2:0 with neutral chroma, 8 or more bits.
inline void write_y4m(ClipSource& clip, const std::string& path) {
  std::ofstream out(path, std::ios::binary);
  const ClipFormat& f = clip.format();
  out << "YUV4MPEG2 W" << f.width << " H" << f.height << " F" << f.fps->numerator << ":"
      << f.fps->denominator << " Ip A1:1 C420"
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
