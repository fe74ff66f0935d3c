#pragma once

#include <fstream>
#include <string>
#include <vector>

#include "support/places.hpp"

// The shell lines of the README, block by block.

namespace readme {

/// Lines that stand together, as typed; of one that shows what a command prints ("$ lampbeat ..."),
/// the command.
using Block = std::vector<std::string>;

inline std::vector<Block> shell_blocks() {
  std::ifstream file(places::sources() + "/README.md");
  std::vector<Block> blocks;
  bool within = false;   // a block
  bool printed = false;  // what stands below a "$" line, up to the next line of prose
  for (std::string line; std::getline(file, line);) {
    const bool indented = line.rfind("    ", 0) == 0;
    if (!indented) {
      within = false;
      if (!line.empty()) printed = false;
      continue;
    }
    const bool shows = line.rfind("    $ ", 0) == 0;
    if (printed && !shows) continue;
    printed = shows;
    if (!within) blocks.emplace_back();
    within = true;
    blocks.back().push_back(line.substr(shows ? 6 : 4));
  }
  return blocks;
}

inline bool mentions_any(const Block& block, const std::string& word) {
  for (const std::string& line : block) {
    if (line.find(word) != std::string::npos) return true;
  }
  return false;
}

inline std::string as_script(const Block& block) {
  std::string script;
  for (const std::string& line : block) script += line + "\n";
  return script;
}

}  // namespace readme
