#pragma once

#include <CLI/CLI.hpp>
#include <memory>

namespace lampbeat::cli {

/// Help that fits 100 columns: how a command is called, examples of it, what it needs, and then
/// the other options, long explanations wrapped beside them.
std::shared_ptr<CLI::Formatter> help_format();

}  // namespace lampbeat::cli
