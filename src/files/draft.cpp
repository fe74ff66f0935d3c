#include "files/draft.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <utility>

#include "lampbeat/error.hpp"

namespace lampbeat::files {

namespace {

// What a signal handler may look at: paths of unfinished drafts. More are written without a net.
constexpr std::size_t most_drafts = 64;
std::array<std::atomic<const char*>, most_drafts> unfinished{};

std::atomic<const char*>* note(const char* path) {
  for (auto& entry : unfinished) {
    const char* none = nullptr;
    if (entry.compare_exchange_strong(none, path)) return &entry;
  }
  return nullptr;
}

std::atomic<int> being_made{0};
std::atomic<bool> ending{false};

/// No signal comes between making a file and noting its name: not on this thread, which holds all
/// of them back, and not on another, whose handler waits for this one.
class Making {
 public:
  Making() {
    sigset_t all;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, &before_);
    ++being_made;
    if (!ending) return;
    --being_made;
    while (true) pause();  // the program is over
  }
  ~Making() {
    --being_made;
    pthread_sigmask(SIG_SETMASK, &before_, nullptr);
  }
  Making(const Making&) = delete;
  Making& operator=(const Making&) = delete;

 private:
  sigset_t before_{};
};

extern "C" void discard_and_end(int signal) {
  ending = true;
  constexpr timespec a_moment{0, 100'000};
  while (being_made > 0) nanosleep(&a_moment, nullptr);
  for (auto& entry : unfinished) {
    if (const char* path = entry.exchange(nullptr)) unlink(path);
  }
  // The handler was for once: now the signal does what it does.
  raise(signal);
}

std::string where_links_point(const std::string& path) {
  std::error_code failed;
  if (!std::filesystem::is_symlink(path, failed)) return path;
  const auto target = std::filesystem::weakly_canonical(path, failed);
  return failed ? path : target.string();
}

/// As a file opened by name would have got, unless one stood there.
mode_t permissions_for(const std::string& path) {
  struct stat status {};
  if (stat(path.c_str(), &status) == 0) return status.st_mode & 07777;
  const mode_t mask = umask(0);
  umask(mask);
  return 0666 & ~mask;
}

}  // namespace

void refuse_output(const std::string& path, const std::string& reason) {
  throw OutputError(path + " cannot be written: " + reason +
                    "; check the folder and the free space (what stood there is untouched)");
}

bool is_special(const std::string& path) {
  struct stat status {};
  return stat(path.c_str(), &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode);
}

Draft::Draft(const std::string& destination)
    : destination_(where_links_point(destination)), path_(destination_ + ".XXXXXX") {
  struct stat status {};
  if (stat(destination_.c_str(), &status) == 0 && S_ISDIR(status.st_mode)) {
    refuse_output(destination_, std::strerror(EISDIR));
  }
  const Making making;
  descriptor_ = mkstemp(path_.data());
  if (descriptor_ < 0) refuse_output(destination_, std::strerror(errno));
  registered_ = note(path_.c_str());
}

Draft::~Draft() {
  if (descriptor_ < 0) return;
  close(descriptor_);
  unlink(path_.c_str());
  if (registered_) registered_->store(nullptr);
}

void Draft::write(std::string_view bytes) const {
  while (!bytes.empty()) {
    const ssize_t n = ::write(descriptor_, bytes.data(), bytes.size());
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) refuse_output(destination_, std::strerror(errno));
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
}

void Draft::keep() {
  const bool ready = fchmod(descriptor_, permissions_for(destination_)) == 0 &&
                     (fsync(descriptor_) == 0 || errno == EINVAL) &&
                     std::rename(path_.c_str(), destination_.c_str()) == 0;
  if (!ready) refuse_output(destination_, std::strerror(errno));
  if (registered_) registered_->store(nullptr);
  close(std::exchange(descriptor_, -1));
}

void discard_drafts_on(int signal) {
  struct sigaction action {};
  action.sa_handler = discard_and_end;
  action.sa_flags = static_cast<int>(SA_RESETHAND | SA_NODEFER);
  sigaction(signal, &action, nullptr);
}

void discard_drafts_on_signals() {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGPIPE}) {
    // Whoever started us with a signal ignored (nohup) meant it.
    struct sigaction before {};
    if (sigaction(signal, nullptr, &before) == 0 && before.sa_handler == SIG_IGN) continue;
    discard_drafts_on(signal);
  }
  // A file that grows past its limit is an error to report, not an end.
  std::signal(SIGXFSZ, SIG_IGN);
}

}  // namespace lampbeat::files
