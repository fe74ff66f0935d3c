#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/clip.hpp"
#include "support/clip_renderer.hpp"
#include "support/draws.hpp"

// Photographs of scenes nobody arranged: texture at all scales, things in front of it, a horizon,
// a window with its blind. Lit by brute force, row by row, as filmed scenes are.

namespace lampbeat::test {

struct PhotographedScene {
  Light light;
  double exposure_s = 1.0 / 1000.0;
  double readout_s = 0.016;
  double taken_s = 0.0;
  int width = 240;
  int height = 360;
  TransferFunction transfer{Transfer::srgb, {}};
  double noise = 0.01;       ///< rms per pixel, relative to the typical light
  double texture = 0.3;      ///< log contrast of texture at all scales, mean power as 1/f²
  double horizon = 0.0;      ///< log step across the whole width
  int things = 0;            ///< furniture, people, shelves
  double blind_width = 0.0;  ///< share of the width that a window's blind takes
  int slats = 12;            ///< of the blind
  double vignette = 0.2;
  double sky = 0.0;  ///< log fall from top to bottom
  unsigned seed = 1;
};

class Photograph final : public ClipSource {
 public:
  explicit Photograph(const PhotographedScene& scene) : scene_(scene), random_(scene.seed) {
    format_.name = "photograph";
    format_.width = scene.width;
    format_.height = scene.height;
    format_.full_range = true;
    format_.still = true;
    format_.chroma = Chroma::mono;
    std::vector<double> log_light(static_cast<std::size_t>(scene.width * scene.height), 0.0);
    add_texture(log_light);
    add_horizon(log_light);
    add_things(log_light);
    add_blind(log_light);
    expose(log_light);
  }

  const ClipFormat& format() const override { return format_; }
  const std::vector<std::uint16_t>* next() override {
    if (given_) return nullptr;
    given_ = true;
    return &luma_;
  }

 private:
  template <typename Add>
  void each(std::vector<double>& picture, Add add) {
    for (int y = 0; y < scene_.height; ++y) {
      for (int x = 0; x < scene_.width; ++x) {
        add(picture[static_cast<std::size_t>(y * scene_.width + x)],
            static_cast<double>(x) / scene_.height, static_cast<double>(y) / scene_.height);
      }
    }
  }

  /// Octave by octave the same contrast: waves of random direction.
  void add_texture(std::vector<double>& picture) {
    if (scene_.texture == 0.0) return;
    struct Ripple {
      double x, y, phase;
    };
    std::vector<Ripple> ripples;
    for (double scale = 0.6; scale < 100.0; scale *= 2.0) {
      for (int i = 0; i < 3; ++i) {
        const double cycles = scale * between(random_, 0.7, 1.4);
        const double direction = between(random_, 0.0, 2.0 * std::numbers::pi);
        ripples.push_back({cycles * std::cos(direction), cycles * std::sin(direction),
                           between(random_, 0.0, 2.0 * std::numbers::pi)});
      }
    }
    const double each_one = scene_.texture * std::sqrt(2.0 / static_cast<double>(ripples.size()));
    each(picture, [&](double& v, double x, double y) {
      for (const Ripple& r : ripples) {
        v += each_one * std::cos(2.0 * std::numbers::pi * (r.x * x + r.y * y) + r.phase);
      }
    });
  }

  void add_horizon(std::vector<double>& picture) {
    const double at = between(random_, 0.25, 0.75);
    const double slope = between(random_, -0.05, 0.05);
    each(picture, [&](double& v, double x, double y) {
      if (y < at + slope * x) v += scene_.horizon;
      v -= scene_.sky * y;
      const double off = std::hypot(x - 0.5 * scene_.width / scene_.height, y - 0.5);
      v += std::log1p(-scene_.vignette * 2.0 * off * off);
    });
  }

  void add_things(std::vector<double>& picture) {
    for (int i = 0; i < scene_.things; ++i) {
      const bool shelf = between(random_, 0.0, 1.0) < 0.3;
      const double w = shelf ? between(random_, 0.2, 0.67) : between(random_, 0.02, 0.25);
      const double h = shelf ? between(random_, 0.01, 0.05) : between(random_, 0.03, 0.4);
      const double left = between(random_, -0.1, 0.67);
      const double top = between(random_, -0.1, 1.0);
      const double reflects = between(random_, -1.2, 0.5);
      each(picture, [&](double& v, double x, double y) {
        if (x >= left && x < left + w && y >= top && y < top + h) v = reflects;
      });
    }
  }

  void add_blind(std::vector<double>& picture) {
    if (scene_.blind_width <= 0.0) return;
    const double width = scene_.blind_width * scene_.width / scene_.height;
    const double left =
        between(random_, 0.0, 1.0) * (static_cast<double>(scene_.width) / scene_.height - width);
    const double top = scene_.blind_width > 0.9 ? 0.0 : between(random_, 0.0, 0.3);
    const double bottom = scene_.blind_width > 0.9 ? 1.0 : between(random_, 0.6, 1.0);
    const double contrast = between(random_, 0.3, 1.2);
    const double open = between(random_, 0.3, 0.7);
    each(picture, [&](double& v, double x, double y) {
      if (x < left || x > left + width || y < top || y > bottom) return;
      const double slat = (y - top) / (bottom - top) * scene_.slats;
      v = slat - std::floor(slat) < open ? 0.3 : 0.3 - contrast;
    });
  }

  void expose(const std::vector<double>& log_light) {
    FilmedScene filmed;
    filmed.light = scene_.light;
    filmed.exposure_s = scene_.exposure_s;
    filmed.readout_s = scene_.readout_s;
    filmed.height = scene_.height;
    std::normal_distribution<double> normal;
    luma_.reserve(log_light.size());
    for (int y = 0; y < scene_.height; ++y) {
      const double lit = row_light(filmed, scene_.taken_s, y);
      for (int x = 0; x < scene_.width; ++x) {
        const double surface =
            0.18 * std::exp(log_light[static_cast<std::size_t>(y * scene_.width + x)]);
        const double light = surface * lit + 0.18 * scene_.noise * normal(random_);
        luma_.push_back(static_cast<std::uint16_t>(
            std::clamp(std::lround(255.0 * encode(scene_.transfer, light)), 0L, 255L)));
      }
    }
  }

  PhotographedScene scene_;
  ClipFormat format_;
  std::vector<std::uint16_t> luma_;
  std::mt19937 random_;
  bool given_ = false;
};

/// Any room, street or landscape.
inline PhotographedScene any_scene(std::mt19937& random) {
  PhotographedScene scene;
  scene.seed = static_cast<unsigned>(random());
  scene.texture = between(random, 0.05, 0.5);
  scene.horizon = between(random, 0.0, 1.0) < 0.5 ? between(random, -1.5, 1.5) : 0.0;
  scene.sky = between(random, -0.5, 1.0);
  scene.things = static_cast<int>(between(random, 0.0, 20.0));
  scene.blind_width = between(random, 0.0, 1.0) < 0.3 ? between(random, 0.2, 1.0) : 0.0;
  scene.slats = static_cast<int>(between(random, 3.0, 40.0));
  scene.vignette = between(random, 0.0, 0.5);
  scene.noise = between(random, 0.0, 0.03);
  return scene;
}

}  // namespace lampbeat::test
