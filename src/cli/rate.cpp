#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_rate(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
