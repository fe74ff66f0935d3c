#pragma once

#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/text_style.hpp"

// The parts of an answer in a terminal that are sentences.

namespace lampbeat::words {

/// Bold, or plain when the style has no colour.
std::string bold(const std::string& text, const TextStyle& style);

/// A list of wrapped sentences under a heading; empty for none.
std::string sentences(const std::string& heading, const std::vector<std::string>& list,
                      const TextStyle& style);
/// The same of findings, each beginning with a capital unless it begins with a file's name.
std::string findings(const std::string& heading, const Findings& list, const TextStyle& style);

}  // namespace lampbeat::words
