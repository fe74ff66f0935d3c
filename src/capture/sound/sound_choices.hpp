#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "capture/wanted_part.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::sound {

/// Throws UsageError where columns were chosen, which sound has not.
void refuse_columns(const std::string& name, const CaptureOptions& options);

/// The channel to read, from 0. Throws UsageError for one that is not there.
std::size_t chosen_channel(const std::string& name, int channels, const std::optional<int>& wanted);

/// What was chosen for the user, or against the user's word.
Findings notice_choices(int channels, int rate_hz, const CaptureOptions& options);

/// The first sample of a part, from 0, and the first after it; `endless` where it goes to the end.
/// A sample whose time equals a border up to rounding belongs to what follows the border.
std::uint64_t first_sample(const WantedPart& part, int rate_hz);
std::uint64_t end_sample(const WantedPart& part, int rate_hz);

}  // namespace lampbeat::capture::sound
