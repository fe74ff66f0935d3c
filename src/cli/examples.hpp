#pragma once

#include <string_view>
#include <vector>

namespace lampbeat::cli {

/// What the help of a command shows before its list of options.
struct CommandExamples {
  std::string_view command;
  std::string_view usage;                ///< after "lampbeat ", what it needs first
  std::vector<std::string_view> needed;  ///< options without which nothing happens
  std::vector<std::string_view> lines;   ///< as typed beside the example captures
};

/// Of a command by name; empty for one without any.
const CommandExamples& examples_of(std::string_view command);

}  // namespace lampbeat::cli
