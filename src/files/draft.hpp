#pragma once

#include <atomic>
#include <string>
#include <string_view>

namespace lampbeat::files {

/// An output while it is being written: a temporary file beside its destination, under a name of
/// its own. It takes the destination's place in `keep`, whole and on the disk; until then whatever
/// stood there is untouched, and a draft that is not kept leaves nothing, not even where a signal
/// ends the program (`discard_drafts_on_signals`).
class Draft {
 public:
  /// A destination that is a symbolic link is replaced where it points to. Throws OutputError.
  explicit Draft(const std::string& destination);
  ~Draft();
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;

  /// For writers that open by name.
  const std::string& path() const { return path_; }
  /// Open for writing, owned by the draft.
  int descriptor() const { return descriptor_; }

  /// Throws OutputError when the disk is full.
  void write(std::string_view bytes) const;
  /// Gives the file its place, with the permissions of the file that stood there, or else those
  /// that the process gives new files. Throws OutputError.
  void keep();

 private:
  std::string destination_;
  std::string path_;
  int descriptor_ = -1;
  std::atomic<const char*>* registered_ = nullptr;
};

/// Throws OutputError: "PATH cannot be written: REASON; ...".
[[noreturn]] void refuse_output(const std::string& path, const std::string& reason);

/// Whether a path names something that is written to and not replaced: a device, a pipe.
bool is_special(const std::string& path);

/// From here on an interrupt, a hangup, a broken pipe or a request to end removes every draft
/// before it ends the program as it would have.
void discard_drafts_on_signals();
/// The same for one signal.
void discard_drafts_on(int signal);

}  // namespace lampbeat::files
