#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace lampbeat::files::json {

/// What a reader has to refuse in a document before it takes it in.
struct Fault {
  std::optional<std::size_t> byte;  ///< where, counted from 1; empty where `what` says it
  std::string what;                 ///< "\"lumens\" is written twice, in entry 1 of \"fixtures\""
};

/// The first fault of a text: what is no JSON, a number larger than numbers go here, a key written
/// twice in one object (of which a reader would silently take one), and a depth no file has.
std::optional<Fault> fault_of(const std::string& text);

}  // namespace lampbeat::files::json
