#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lampbeat::files {

/// Why an input cannot be read.
struct InputTrouble {
  std::string name;
  int number = 0;        ///< of errno; EISDIR for a folder
  bool opening = false;  ///< found when it was opened, not while it was read
};

/// Says it in the words of those who wanted it: a capture is copied again from the recorder, a clip
/// is not. The sentence begins with the name.
using TroubleWords = std::string (*)(const InputTrouble&);

/// The bytes of a file or a pipe, front to back, with a look at the first ones.
/// Every function that reads throws InputError when reading fails.
class ByteSource {
 public:
  /// Opens a file; "-" is standard input. Throws InputError when that fails, or it is a folder.
  ByteSource(const std::string& path, TroubleWords words);
  /// Reads an open descriptor, which stays open and stays the caller's.
  ByteSource(int descriptor, std::string name, TroubleWords words);

  /// From here on the source ends as soon as `descriptor` can be read, whatever more would come.
  void stop_at(int descriptor) { stop_descriptor_ = descriptor; }
  /// Whether it does.
  bool stopped() const;

  const std::string& name() const { return name_; }
  /// Bytes from the starting point to the end; empty for pipes and devices.
  std::optional<std::uint64_t> size() const { return size_; }
  bool seekable() const { return size_.has_value(); }

  /// What has been looked at so far; `read` delivers it again.
  std::string_view head() const { return head_; }
  /// Looks further ahead by what one read gives; false at the end.
  bool look_further();
  /// Looks at the first `count` bytes, or at all there are.
  std::string_view look(std::size_t count);

  /// Waits for at least one byte; 0 only at the end.
  std::size_t read(char* buffer, std::size_t capacity);
  /// Fills the buffer unless the end comes first.
  std::size_t read_fully(void* buffer, std::size_t capacity);
  /// One byte, or -1 at the end.
  int get();
  /// Throws away up to `count` bytes and says how many there were.
  std::size_t skip(std::size_t count);

  /// Bytes at an absolute position, as many as fit unless the end comes first. A pipe gives those
  /// of its head as often as asked, later ones once and in order (a jump ahead drops what is
  /// between). Not to be mixed with `read` and its kin.
  std::size_t read_at(std::uint64_t position, char* buffer, std::size_t capacity);

 private:
  struct Descriptor {
    int number = -1;
    bool owned = false;
    int trouble = 0;  ///< why it could not be opened
    Descriptor(int number_, bool owned_);
    Descriptor(Descriptor&& other) noexcept;
    ~Descriptor();
  };
  ByteSource(Descriptor descriptor, std::string name, TroubleWords words);
  [[noreturn]] void refuse(int trouble, bool opening) const;
  bool wait_for_bytes();
  std::size_t read_descriptor(char* buffer, std::size_t capacity);
  std::size_t read_file_at(std::uint64_t position, char* buffer, std::size_t capacity);
  std::size_t read_pipe_at(std::uint64_t position, char* buffer, std::size_t capacity);

  Descriptor descriptor_;
  std::string name_;
  TroubleWords words_;
  std::optional<std::uint64_t> size_;
  std::int64_t start_ = 0;  ///< where a redirected standard input already stood
  int stop_descriptor_ = -1;
  std::string head_;
  std::size_t head_delivered_ = 0;
  std::vector<char> ahead_;  ///< read in one go for many small `read`s
  std::size_t ahead_filled_ = 0;
  std::size_t ahead_delivered_ = 0;
  std::uint64_t drawn_ = 0;  ///< bytes taken from the descriptor, the head among them
};

}  // namespace lampbeat::files
