#pragma once

#include <string>

#include "lampbeat/text_style.hpp"

namespace lampbeat::cli {

/// What every command needs to know about the world it runs in, and the exit code it leaves.
struct Session {
  TextStyle style;        ///< how text on standard output may look
  bool progress = false;  ///< standard error is a terminal: a running line is welcome
  int exit_code = 0;      ///< 0 done, 1 over the user's limit or not known, 3 some input unusable
};

/// Looks at the terminal, NO_COLOR and the locale.
Session look_around();

/// Prints text made for people, in characters this terminal has.
void print_text(const Session& session, const std::string& text);
/// Prints one machine-readable line.
void print_line(const std::string& line);
/// Says something on standard error that is not an error: "lampbeat: saved ceiling.json".
void note(const Session& session, const std::string& text);

/// One line on standard error that is overwritten while work goes on; silent when not a terminal.
class RunningLine {
 public:
  explicit RunningLine(const Session& session) : shown_(session.progress) {}
  ~RunningLine() { clear(); }
  RunningLine(const RunningLine&) = delete;
  RunningLine& operator=(const RunningLine&) = delete;
  void show(const std::string& text);
  void clear();

 private:
  bool shown_;
  bool dirty_ = false;
};

}  // namespace lampbeat::cli
