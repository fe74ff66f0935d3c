#pragma once

#include <string_view>

namespace lampbeat::report::assets {

/// A template or style sheet of src/report/assets, built into the program: asset("page.css").
std::string_view asset(std::string_view name);

}  // namespace lampbeat::report::assets
