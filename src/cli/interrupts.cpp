#include "cli/interrupts.hpp"

#include <csignal>

#include "files/draft.hpp"

namespace lampbeat::cli {

namespace {

volatile std::sig_atomic_t seen = 0;

}  // namespace

void heed_interrupts() {
  struct sigaction action {};
  action.sa_handler = [](int signal) {
    seen = 1;
    files::discard_drafts_on(signal);
  };
  sigaction(SIGINT, &action, nullptr);
}

bool interrupted() { return seen != 0; }

}  // namespace lampbeat::cli
