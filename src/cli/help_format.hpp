#pragma once

#include <CLI/CLI.hpp>
#include <memory>

namespace lampbeat::cli {

/// Help that fits 100 columns: long explanations are wrapped beside their option.
std::shared_ptr<CLI::Formatter> help_format();

}  // namespace lampbeat::cli
