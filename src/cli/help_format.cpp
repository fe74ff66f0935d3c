#include "cli/help_format.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "cli/examples.hpp"
#include "words/columns.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::cli {

namespace {

constexpr int help_columns = 100;   // as wide as every text of this program
constexpr int option_columns = 30;  // of a longer name the text begins on the next line

class WrappedHelp : public CLI::Formatter {
 public:
  WrappedHelp() { column_width(option_columns); }

  std::string make_usage(const CLI::App* app, std::string name) const override {
    const CommandExamples& help = examples_of(app->get_name());
    if (help.usage.empty()) return CLI::Formatter::make_usage(app, std::move(name));
    std::string text = "Usage: lampbeat " + std::string(help.usage) + "\n\nExamples:\n";
    for (const std::string_view line : help.lines) {
      // A line to copy stays one line, and breaks where the shell lets it.
      text += "  " + broken_for_shell(std::string(line)) + "\n";
    }
    return text;
  }

  std::string make_help(const CLI::App* app, std::string name,
                        CLI::AppFormatMode mode) const override {
    return make_description(app) + make_usage(app, std::move(name)) + make_positionals(app) +
           needed_first(app, mode) + make_subcommands(app, mode) + "\n" + make_footer(app);
  }

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
  /// What a command needs stands before what it can do without.
  std::string needed_first(const CLI::App* app, CLI::AppFormatMode mode) const {
    const auto options = [&](auto wanted) {
      return app->get_options([&](const CLI::Option* option) {
        return option->nonpositional() && !option->get_group().empty() && wanted(option);
      });
    };
    const auto needed = options([&](const CLI::Option* o) { return is_needed(app, o); });
    if (needed.empty()) return CLI::Formatter::make_groups(app, mode);
    std::string text = make_group("What it needs", false, needed);
    for (const std::string& group : app->get_groups()) {
      const auto others = options(
          [&](const CLI::Option* o) { return o->get_group() == group && !is_needed(app, o); });
      if (!others.empty()) text += make_group(group, false, others);
    }
    return text;
  }

  static bool is_needed(const CLI::App* app, const CLI::Option* option) {
    const std::vector<std::string_view>& names = examples_of(app->get_name()).needed;
    return std::any_of(names.begin(), names.end(), [&](std::string_view name) {
      return option->check_lname(std::string(name));
    });
  }

  static std::string broken_for_shell(std::string line) {
    constexpr std::size_t room = help_columns - 4;  // indented by two, and " \\" at the end
    if (line.size() <= room + 2) return line;
    const std::size_t at = line.rfind(" --", room);
    return line.substr(0, at) + " \\\n      " + line.substr(at + 1);
  }

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
