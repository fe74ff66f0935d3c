#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_footage(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
