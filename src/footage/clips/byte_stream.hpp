#pragma once

#include <cstddef>
#include <cstdio>
#include <memory>
#include <string>

namespace lampbeat::footage {

/// A file or standard input read once, front to back, with a look at its first bytes.
class ByteStream {
 public:
  /// Opens `path`, "-" being standard input. Throws InputError.
  explicit ByteStream(const std::string& path);

  const std::string& name() const { return name_; }

  /// The first bytes (fewer when the file is shorter), still to be read.
  const std::string& beginning() const { return beginning_; }

  /// Reads up to `count` bytes; fewer only at the end. Throws InputError when reading fails.
  std::size_t read(void* into, std::size_t count);

  /// One byte, or -1 at the end.
  int get();

  /// Throws away up to `count` bytes and says how many there were.
  std::size_t skip(std::size_t count);

 private:
  struct Close {
    void operator()(std::FILE* file) const {
      if (file != stdin) std::fclose(file);
    }
  };
  std::string name_;
  std::unique_ptr<std::FILE, Close> file_;
  std::string beginning_;
  std::size_t taken_ = 0;  // of beginning_
};

}  // namespace lampbeat::footage
