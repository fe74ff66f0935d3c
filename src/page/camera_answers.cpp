#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/clip.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/text.hpp"
#include "page/answers.hpp"
#include "page/camera_view.hpp"
#include "page/figures.hpp"
#include "words/number_reader.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::page {
namespace {

struct Picture {
  std::vector<std::uint16_t> luma;
  double taken_s = 0.0;
};

struct Looking {
  int width = 0;
  int height = 0;
  bool full_range = false;
  std::deque<Picture> pictures;
};

/// Some four seconds: what a clip for `footage` should have.
constexpr std::size_t most_pictures = 120;

std::optional<Looking>& looking() {
  static std::optional<Looking> now;
  return now;
}

/// The camera's own rate by its pictures' times: the median of their distances, at the customary
/// rate within a two-hundredth of it, for nobody's camera runs at 25.07.
FrameRate rate_of(const std::deque<Picture>& pictures) {
  std::vector<double> apart_s;
  for (std::size_t i = 1; i < pictures.size(); ++i) {
    apart_s.push_back(pictures[i].taken_s - pictures[i - 1].taken_s);
  }
  const auto middle = apart_s.begin() + static_cast<std::ptrdiff_t>(apart_s.size() / 2);
  std::nth_element(apart_s.begin(), middle, apart_s.end());
  const double per_s = 1.0 / std::max(*middle, 1e-4);
  constexpr double same = 0.005;
  const std::vector<FrameRate>& known = customary_frame_rates();
  const auto nearest = std::min_element(known.begin(), known.end(), [&](FrameRate a, FrameRate b) {
    return std::abs(a.per_s() - per_s) < std::abs(b.per_s() - per_s);
  });
  if (std::abs(nearest->per_s() - per_s) < same * per_s) {
    // Browsers tell times in milliseconds or finer, which part 30 from 29.97 after seconds alone.
    const double whole = std::round(nearest->per_s());
    return {static_cast<std::int64_t>(whole), 1};
  }
  constexpr std::int64_t thousandths = 1000;
  return {std::llround(per_s * static_cast<double>(thousandths)), thousandths};
}

/// What the camera has shown, as a clip.
class SeenClip final : public ClipSource {
 public:
  SeenClip(const Looking& seen, FrameRate fps) : seen_(seen) {
    format_.name = "the camera";
    format_.width = seen.width;
    format_.height = seen.height;
    format_.fps = fps;
    format_.full_range = seen.full_range;
  }
  const ClipFormat& format() const override { return format_; }
  const std::vector<std::uint16_t>* next() override {
    return next_ < seen_.pictures.size() ? &seen_.pictures[next_++].luma : nullptr;
  }
  std::optional<double> period() const override {
    const double after_s = seen_.pictures[next_ - 1].taken_s - seen_.pictures.front().taken_s;
    return std::round(after_s * format_.fps->per_s());
  }

 private:
  const Looking& seen_;
  ClipFormat format_;
  std::size_t next_ = 0;
};

Json figures_of(const FootageResult& f) {
  const auto light = std::find_if(f.lights.begin(), f.lights.end(),
                                  [](const LightCandidate& c) { return c.plausible; });
  const LightCandidate* const believed = light != f.lights.end() ? &*light
                                         : f.lights.empty()      ? nullptr
                                                                 : &f.lights.front();
  return {figure("light_hz", "the light", believed ? std::optional(believed->hz) : std::nullopt,
                 believed ? words::measured_hertz(believed->hz, believed->hz_sd) : ""),
          figure("roll_hz", "roll", f.roll_hz,
                 words::measured_hertz(f.roll_hz.value_or(0), f.roll_hz_sd.value_or(0))),
          figure("bands_per_frame", "bands over the picture", f.bands_per_frame,
                 words::with_uncertainty(f.bands_per_frame.value_or(0),
                                         f.bands_per_frame_sd.value_or(0), 3, "")),
          figure("readout_s", "the camera's readout", f.readout_s,
                 words::with_uncertainty(1e3 * f.readout_s.value_or(0),
                                         1e3 * f.readout_s_sd.value_or(0), 2, "ms"))};
}

}  // namespace

void begin_looking(int width, int height, bool full_range) {
  looking().emplace(Looking{width, height, full_range, {}});
}

void look(std::span<const std::uint8_t> luma, double taken_s) {
  if (!looking()) return;
  std::deque<Picture>& pictures = looking()->pictures;
  if (!pictures.empty() && taken_s <= pictures.back().taken_s) return;
  pictures.push_back({{luma.begin(), luma.end()}, taken_s});
  if (pictures.size() > most_pictures) pictures.pop_front();
}

void look_at_colours(std::span<const std::uint8_t> rgba, double taken_s) {
  constexpr std::size_t pixel_bytes = 4;
  std::vector<std::uint8_t> luma;
  for (std::size_t i = 0; i + pixel_bytes <= rgba.size(); i += pixel_bytes) {
    const double y = 0.2126 * rgba[i] + 0.7152 * rgba[i + 1] + 0.0722 * rgba[i + 2];
    luma.push_back(static_cast<std::uint8_t>(std::lround(y)));
  }
  look(luma, taken_s);
}

Json seen_answer(const Json& request) {
  constexpr std::size_t fewest_pictures = 12;
  if (!looking() || looking()->pictures.size() < fewest_pictures) return {{"frames", 0}};
  FootageSettings settings;
  settings.plain_wall = request.value("plain_wall", false);
  if (const auto hz = words::finite_number_in(text_of(request, "light_hz"))) settings.light_hz = hz;
  const FrameRate fps = rate_of(looking()->pictures);
  SeenClip clip(*looking(), fps);
  const FootageResult f = measure_footage(clip, nullptr, settings);
  TextStyle style;
  style.width = 44;
  return {{"frames", f.frames},
          {"fps", fps.per_s()},
          {"footage", Json::parse(to_json(f))},
          {"text", to_text(f, style)},
          {"figures", figures_of(f)}};
}

}  // namespace lampbeat::page
