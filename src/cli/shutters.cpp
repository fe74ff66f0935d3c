#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_shutters(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
