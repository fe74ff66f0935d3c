#include "cli/session.hpp"

#include <langinfo.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <clocale>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "words/foreign_text.hpp"

namespace lampbeat::cli {

namespace {

bool colour_wanted() {
  const char* refused = std::getenv("NO_COLOR");
  const char* terminal = std::getenv("TERM");
  return isatty(STDOUT_FILENO) && !(refused && *refused) &&
         !(terminal && std::strcmp(terminal, "dumb") == 0);
}

int columns() {
  winsize size{};
  if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
    return std::clamp<int>(size.ws_col, 40, 100);
  }
  return 100;
}

}  // namespace

Session look_around() {
  // Only the character set: a decimal comma from the locale must never reach the numbers.
  std::setlocale(LC_CTYPE, "");
  Session session;
  session.style.width = columns();
  session.style.colour = colour_wanted();
  session.style.unicode = std::strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
  // Spelled out in ASCII ("deg", "us", "<="), a line grows after it was wrapped.
  constexpr int spelling_room = 8;
  if (!session.style.unicode) session.style.width -= spelling_room;
  session.progress = isatty(STDERR_FILENO) != 0;
  return session;
}

void print_text(const Session& session, const std::string& text) {
  const std::string shown = session.style.unicode ? text : in_ascii(text);
  std::fwrite(shown.data(), 1, shown.size(), stdout);
  if (!shown.empty() && shown.back() != '\n') std::fputc('\n', stdout);
}

void print_line(const std::string& line) {
  std::fwrite(line.data(), 1, line.size(), stdout);
  std::fputc('\n', stdout);
  std::fflush(stdout);
}

void note(const Session& session, const std::string& text) {
  const std::string safe = words::for_terminal(text);
  const std::string shown = session.style.unicode ? safe : in_ascii(safe);
  std::fprintf(stderr, "lampbeat: %s\n", shown.c_str());
}

void RunningLine::show(const std::string& text) {
  if (!shown_) return;
  std::fprintf(stderr, "\r\033[K%s", text.c_str());
  std::fflush(stderr);
  dirty_ = true;
}

void RunningLine::clear() {
  if (!dirty_) return;
  std::fputs("\r\033[K", stderr);
  std::fflush(stderr);
  dirty_ = false;
}

}  // namespace lampbeat::cli
