#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "signal/states/epoch.hpp"

namespace lampbeat::signal::states {

/// The state that can be forgotten: the shortest, the current one apart, of those that are worst
/// for no figure; empty when each is worst for one.
std::optional<std::size_t> least_missed(const std::vector<Epoch>& epochs, std::size_t current);

}  // namespace lampbeat::signal::states
