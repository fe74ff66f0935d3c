#include <algorithm>
#include <array>
#include <utility>

#include "lampbeat/measurement.hpp"

namespace lampbeat {
namespace {

constexpr std::array<std::pair<ComponentKind, const char*>, 3> kinds = {{
    {ComponentKind::mains, "mains"},
    {ComponentKind::free_running, "free-running"},
    {ComponentKind::sideband, "sideband"},
}};

}  // namespace

const char* kind_word(ComponentKind kind) {
  return std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) { return k.first == kind; })
      ->second;
}

std::optional<ComponentKind> component_kind(std::string_view word) {
  const auto known =
      std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) { return k.second == word; });
  return known == kinds.end() ? std::nullopt : std::optional(known->first);
}

}  // namespace lampbeat
