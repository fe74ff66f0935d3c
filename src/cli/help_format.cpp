#include "cli/help_format.hpp"

#include <string>

#include "words/columns.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::cli {

namespace {

constexpr int help_columns = 100;   // as wide as every text of this program
constexpr int option_columns = 30;  // of a longer name the text begins on the next line

class WrappedHelp : public CLI::Formatter {
 public:
  WrappedHelp() { column_width(option_columns); }

  std::string make_option(const CLI::Option* option, bool is_positional) const override {
    std::string lead = "  " + make_option_name(option, is_positional) + value_of(option);
    const std::string text = make_option_desc(option);
    if (words::columns(lead) + 2 > option_columns) {
      lead += "\n";
      return lead + words::wrapped(text, help_columns, std::string(option_columns, ' ')) + "\n";
    }
    return words::wrapped(text, help_columns, words::padded(lead, option_columns)) + "\n";
  }

 private:
  static std::string value_of(const CLI::Option* option) {
    const std::string type = option->get_type_name();
    const std::size_t check = type.find(':');  // validators append what the text already says
    if (option->get_type_size() == 0 || option->get_positional()) return "";
    const bool share = type.find("[:") != std::string::npos ||
                       type.find(":PERCENT") != std::string::npos ||
                       type.find(":DUTY") != std::string::npos;
    const std::string unit = share || check == std::string::npos ? type : type.substr(0, check);
    const std::string preset = option->get_default_str();
    return " " + unit + (preset.empty() ? "" : "=" + preset);
  }
};

}  // namespace

std::shared_ptr<CLI::Formatter> help_format() { return std::make_shared<WrappedHelp>(); }

}  // namespace lampbeat::cli
