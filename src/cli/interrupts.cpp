#include "cli/interrupts.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>

#include "files/draft.hpp"

namespace lampbeat::cli {

namespace {

volatile std::sig_atomic_t seen = 0;
int told[2] = {-1, -1};  // a pipe: what is written in the handler wakes who reads

}  // namespace

void heed_interrupts() {
  struct sigaction action {};
  action.sa_handler = [](int signal) {
    seen = 1;
    const int before = errno;
    if (told[1] >= 0 && write(told[1], "", 1) < 0) errno = before;
    files::discard_drafts_on(signal);
  };
  sigaction(SIGINT, &action, nullptr);
}

int interrupts_descriptor() {
  if (told[0] < 0 && pipe2(told, O_CLOEXEC | O_NONBLOCK) != 0) return -1;
  heed_interrupts();
  return told[0];
}

bool interrupted() { return seen != 0; }

}  // namespace lampbeat::cli
