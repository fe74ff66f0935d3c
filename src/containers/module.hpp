#pragma once

#include <string>

#include "containers/door.hpp"

namespace lampbeat::containers {

/// The module, loaded when it is first asked for and kept: it brings over a hundred libraries,
/// which no other command waits for. Looked for beside the program, in ../lib/lampbeat from there,
/// where it was built, and where it was to be installed; LAMPBEAT_CONTAINERS names another file, in
/// place of all these. Null when there is none; `why_not` then says what was wrong.
const Door* module();
std::string why_no_module();

}  // namespace lampbeat::containers
