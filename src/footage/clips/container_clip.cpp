// Clips and photographs that FFmpeg's libraries unpack, through the module that holds them.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "containers/container.hpp"
#include "footage/clips/formats.hpp"
#include "footage/clips/stated_rate.hpp"
#include "footage/clips/tagged_transfer.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::clips {

namespace {

// Of the rate: a camera's own rate strays from the round number in its tag by less, slow motion by
// far more.
constexpr double slow_motion = 0.1;

// Sound may go on a little longer than the pictures.
constexpr double least_missing_s = 0.5;
constexpr double missing_share = 0.05;

// Height over width of pictures that telephones take upright.
constexpr double least_upright = 1.3;
constexpr double most_upright = 2.4;

/// Filmed at another rate than it is shown at.
bool is_retimed(double capture_fps, const FrameRate& shown) {
  return std::abs(capture_fps / shown.per_s() - 1.0) > slow_motion;
}

FrameRate rate_of(double fps) {
  for (const FrameRate& customary : customary_frame_rates()) {
    if (std::abs(customary.per_s() - fps) < 5e-4 * fps) return customary;
  }
  constexpr std::int64_t parts = 1000;
  return {std::llround(fps * static_cast<double>(parts)), parts};
}

class ContainerClip final : public ClipSource {
 public:
  explicit ContainerClip(containers::Container container)
      : container_(std::move(container)), video_(container_.start_video()) {
    format_.name = container_.name();
    format_.width = video_.width;
    format_.height = video_.height;
    format_.bits = video_.bits;
    format_.full_range = video_.full_range;
    format_.still = video_.still;
    format_.transfer = transfer_numbered(video_.transfer);
    format_.chroma = video_.grey ? Chroma::mono : Chroma::yuv420;
    if (video_.still) {
      // What a JPEG's tags call BT.601 is how its colours were mixed; its curve is a screen's.
      format_.transfer.reset();
    } else {
      take_rate();
    }
    note_turn();
  }

  const ClipFormat& format() const override { return format_; }
  Findings findings() const override { return findings_; }
  std::optional<double> period() const override { return period_; }

  const std::vector<std::uint16_t>* next() override {
    const auto frame = container_.next_frame();
    if (!frame) {
      note_end();
      luma_ = std::vector<std::uint16_t>();  // gives its memory back
      return nullptr;
    }
    ++frames_;
    luma_.assign(frame->luma, frame->luma + static_cast<std::size_t>(format_.width) *
                                                static_cast<std::size_t>(format_.height));
    period_.reset();
    if (frame->time_s && shown_period_s_ > 0.0) {
      if (!first_s_) first_s_ = *frame->time_s;
      period_ = (*frame->time_s - *first_s_) / shown_period_s_;
    }
    return &luma_;
  }

 private:
  void take_rate() {
    const auto shown = stated_rate(video_.early_times_s, video_.rates);
    if (!shown) return;
    format_.fps = shown->fps;
    shown_period_s_ = shown->period_s;
    if (!video_.capture_fps || !is_retimed(*video_.capture_fps, shown->fps)) return;
    format_.fps = rate_of(*video_.capture_fps);
    findings_.push_back(
        {"capture_rate_tag",
         fmt::format("The file is shown at {} frames a second and says that it was filmed at {}: "
                     "everything is measured at {}. If that is wrong, give the rate with --fps.",
                     frame_rate_label(shown->fps), frame_rate_label(*format_.fps),
                     frame_rate_label(*format_.fps))});
  }

  /// An index is held to by the reader; a container without one only says how long it is.
  void note_end() {
    if (ended_ || !video_.duration_s || !period_) return;
    ended_ = true;
    const double end_s = (*period_ + 1.0) * shown_period_s_;
    if (end_s > *video_.duration_s - std::max(least_missing_s, missing_share * *video_.duration_s))
      return;
    findings_.push_back(
        {"ends_early",
         fmt::format("The pictures end with frame {}, after {} s, though the file says it lasts {} "
                     "s: it may have been cut short. Measured is what is there.",
                     frames_, words::in_digits_at_most(end_s, 3),
                     words::in_digits_at_most(*video_.duration_s, 3))});
  }

  /// Sensors lie; a picture that stands without a tag was turned for good, or was made so.
  void note_upright() {
    const double shape = static_cast<double>(format_.height) / format_.width;
    if (shape < least_upright || shape > most_upright) return;
    findings_.push_back(
        {"stored_upright",
         fmt::format("The picture is stored upright ({} x {}) and nothing says that it was turned. "
                     "If an editor turned it, the sensor's rows are its columns now, and bands "
                     "along them are missed here: turn it back first, with ffmpeg -i CLIP -vf "
                     "transpose=2 -c:v ffv1 lying.mkv",
                     format_.width, format_.height)});
  }

  void note_turn() {
    if (video_.turned_deg == 0) {
      note_upright();
      return;
    }
    findings_.push_back(
        {"turned_picture",
         video_.turned_deg == 180
             ? "Players show this file upside down to how the sensor recorded it; rows, and the "
               "direction of the roll, are the sensor's."
             : fmt::format("Players turn this file by {}°, so that its bands run along the columns "
                           "there; the rows measured here are the sensor's own.",
                           video_.turned_deg)});
  }

  containers::Container container_;
  containers::Video video_;
  ClipFormat format_;
  Findings findings_;
  double shown_period_s_ = 0.0;
  std::uint64_t frames_ = 0;
  bool ended_ = false;
  std::optional<double> first_s_;
  std::optional<double> period_;
  std::vector<std::uint16_t> luma_;
};

}  // namespace

std::unique_ptr<ClipSource> open_container(files::ByteSource bytes) {
  containers::Container container(std::move(bytes),
                                  static_cast<std::int64_t>(largest_frame_bytes / 2));
  if (!container.has_video() && container.has_sound()) {
    throw InputError(fmt::format(
        "{}: holds sound and no pictures; a recording of a light sensor is measured with: lampbeat "
        "measure {}",
        container.name(), container.name()));
  }
  return std::make_unique<ContainerClip>(std::move(container));
}

}  // namespace lampbeat::footage::clips
