#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "signal/windows/block_figures.hpp"

namespace lampbeat::signal::windows {

/// Blocks [from, to) belong to no one light: before and after them the light is another (`lasting`)
/// or the same, and they are a short disturbance.
struct Break {
  std::size_t from = 0;
  std::size_t to = 0;
  bool lasting = false;
};

/// Blocks that must look alike on one side of a break: as many whole ones as half a second holds
/// when both its ends cut one.
inline constexpr std::size_t blocks_of_a_side = 8;
/// A stretch up to this long that differs from both its sides is a disturbance.
inline constexpr std::size_t most_disturbed_blocks = 9;

/// The first place where the light becomes another, or is disturbed. Two sides differ when one of
/// their figures does, by eight times its scatter within the sides and by more than a thousandth of
/// the level; a slow swing or a drift scatters within the sides and is no break (a straight ramp
/// stands at three and a half times, a slow sine at four). `begins` and `ends`: nothing comes
/// before the first block or after the last, so that a disturbance there has one side only.
std::optional<Break> first_break(std::span<const BlockFigures> blocks, bool begins, bool ends);

}  // namespace lampbeat::signal::windows
