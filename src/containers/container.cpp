#include "containers/container.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "containers/module.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::containers {

bool can_open() { return module() != nullptr; }

std::string how_to_have_it() {
  return fmt::format(
      "To open it directly, install libavformat-dev libavcodec-dev libswscale-dev (FFmpeg's "
      "libraries) and build lampbeat again ({}).",
      words::excerpt(why_no_module()));
}

void Container::Close::operator()(void* container) const { module()->close(container); }

std::int64_t Container::read_at(void* bytes, std::uint64_t position, char* into,
                                std::size_t capacity) {
  auto& from = *static_cast<Bytes*>(bytes);
  try {
    return static_cast<std::int64_t>(from.source.read_at(position, into, capacity));
  } catch (const std::exception& e) {
    from.trouble = e.what();
    return -1;
  }
}

Container::Container(files::ByteSource bytes, std::int64_t most_pixels)
    : bytes_(new Bytes{std::move(bytes), {}}) {
  const auto size = bytes_->source.size();
  const DoorBytes door{bytes_.get(), size ? static_cast<std::int64_t>(*size) : -1, read_at,
                       most_pixels};
  DoorComplaint complaint{};
  opened_.reset(module()->open(&door, &complaint));
  if (!opened_) refuse(complaint);
}

void Container::refuse(const DoorComplaint& complaint) const {
  if (!bytes_->trouble.empty()) throw InputError(bytes_->trouble);
  throw InputError(fmt::format("{}: {}", name(), complaint.text));
}

bool Container::has_video() const { return module()->has_video(opened_.get()) == 1; }
bool Container::has_sound() const { return module()->has_sound(opened_.get()) == 1; }

Video Container::start_video() {
  DoorVideo v{};
  DoorComplaint complaint{};
  if (module()->start_video(opened_.get(), &v, &complaint) != 1) refuse(complaint);
  Video video;
  video.container = v.container;
  video.codec = v.codec;
  video.width = v.width;
  video.height = v.height;
  video.bits = v.bits;
  video.full_range = v.full_range == 1;
  video.transfer = v.transfer;
  video.grey = v.grey == 1;
  video.still = v.still == 1;
  video.turned_deg = v.turned_deg;
  video.mirrored = v.mirrored == 1;
  if (v.capture_fps > 0.0) video.capture_fps = v.capture_fps;
  if (v.duration_s > 0.0) video.duration_s = v.duration_s;
  for (const auto& rate : v.rates) {
    if (rate[0] > 0 && rate[1] > 0) video.rates.emplace_back(rate[0], rate[1]);
  }
  video.early_times_s.assign(v.early_times_s, v.early_times_s + v.early_times);
  std::sort(video.early_times_s.begin(), video.early_times_s.end());
  return video;
}

Sound Container::start_sound() {
  DoorSound s{};
  DoorComplaint complaint{};
  if (module()->start_sound(opened_.get(), &s, &complaint) != 1) refuse(complaint);
  return {s.container, s.codec, s.channels, s.rate_hz, s.lossy == 1, s.integer_bits};
}

std::optional<Frame> Container::next_frame() {
  DoorFrame f{};
  DoorComplaint complaint{};
  const int got = module()->next_frame(opened_.get(), &f, &complaint);
  if (got < 0 || !bytes_->trouble.empty()) refuse(complaint);
  if (got == 0) return std::nullopt;
  return Frame{f.luma, f.timed == 1 ? std::optional<double>(f.time_s) : std::nullopt};
}

std::optional<DoorSamples> Container::next_samples() {
  DoorSamples s{};
  DoorComplaint complaint{};
  const int got = module()->next_samples(opened_.get(), &s, &complaint);
  if (got < 0 || !bytes_->trouble.empty()) refuse(complaint);
  if (got == 0) return std::nullopt;
  return s;
}

}  // namespace lampbeat::containers
