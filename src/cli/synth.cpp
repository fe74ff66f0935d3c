#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_synth(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
