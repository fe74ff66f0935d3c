#include "cli/commands.hpp"

namespace lampbeat::cli {

void add_predict(CLI::App&, Session&) {}

}  // namespace lampbeat::cli
