#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_measure(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
