#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture::sound {

/// Throws UsageError where columns were chosen, which sound has not.
void refuse_columns(const std::string& name, const CaptureOptions& options);

/// The channel to read, from 0. Throws UsageError for one that is not there.
std::size_t chosen_channel(const std::string& name, int channels, const std::optional<int>& wanted);

/// What was chosen for the user, or against the user's word.
Findings notice_choices(int channels, int rate_hz, const CaptureOptions& options);

}  // namespace lampbeat::capture::sound
