#pragma once

#include <stdexcept>
#include <string>

namespace lampbeat {

/// An input cannot be used: missing, damaged, or not what it claims to be. The message names the
/// file, the line, sample or byte where the trouble is, and what to do next. Exit code 3.
class InputError : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// The caller asked for something that makes no sense (a negative rate, an exposure longer than
/// the frame, an unknown name). The message says what was expected instead. Exit code 2.
class UsageError : public std::invalid_argument {
  using std::invalid_argument::invalid_argument;
};

/// An output could not be written. Whatever stood there before is untouched. Exit code 4.
class OutputError : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace lampbeat
