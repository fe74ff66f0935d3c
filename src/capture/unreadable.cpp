#include "capture/unreadable.hpp"

#include <cerrno>
#include <cstring>

#include <fmt/format.h>

namespace lampbeat::capture {

std::string unreadable_capture(const files::InputTrouble& trouble) {
  switch (trouble.number) {
    case ENOENT:
    case ENOTDIR:
      return fmt::format("{}: there is no such file; check its name and folder", trouble.name);
    case EACCES:
    case EPERM:
      return fmt::format("{}: you are not allowed to read it; change its permissions or copy it",
                         trouble.name);
    case EISDIR:
      return fmt::format(
          "{}: this is a folder, not a capture; name a file in it (`rate` takes whole folders)",
          trouble.name);
    default:
      return fmt::format("{}: it cannot be read ({}); copy it again from the recorder",
                         trouble.name, std::strerror(trouble.number));
  }
}

}  // namespace lampbeat::capture
