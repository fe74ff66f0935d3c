#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>

#include "lampbeat/error.hpp"

namespace lampbeat::files {

namespace {

void drop_byte_order_mark(std::string& text) {
  constexpr std::string_view mark = "\xEF\xBB\xBF";
  if (text.starts_with(mark)) text.erase(0, mark.size());
}

}  // namespace

std::string whole_file(const std::string& path, std::size_t most_bytes, const std::string& what) {
  std::string text;
  std::string buffer(65536, '\0');
  std::FILE* file = path == "-" ? stdin : std::fopen(path.c_str(), "rb");
  if (!file) {
    throw InputError(fmt::format("{}: no such file, or not readable; expected {}", path, what));
  }
  for (std::size_t n = 1; n > 0 && text.size() <= most_bytes;) {
    n = std::fread(buffer.data(), 1, buffer.size(), file);
    text.append(buffer, 0, n);
  }
  if (file != stdin) std::fclose(file);
  if (text.size() > most_bytes) {
    throw InputError(
        fmt::format("{}: larger than {} MB, so it is not {}", path, most_bytes / 1'000'000, what));
  }
  drop_byte_order_mark(text);
  return text;
}

std::string front_of_file(const std::string& path, std::size_t most_bytes) {
  std::error_code failed;
  if (!std::filesystem::is_regular_file(path, failed)) return {};
  std::ifstream file(path, std::ios::binary);
  std::string front(most_bytes, '\0');
  file.read(front.data(), static_cast<std::streamsize>(front.size()));
  front.resize(static_cast<std::size_t>(file.gcount()));
  drop_byte_order_mark(front);
  return front;
}

}  // namespace lampbeat::files
