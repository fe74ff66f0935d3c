#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace lampbeat::report::html {

/// What a template is filled with. Names in `text` are written {{name}} and escaped; names in
/// `markup` are written {{{name}}} and put in as they are, so they may only hold what this program
/// made itself; names in `lists` are sections {{#name}}...{{/name}}, once per entry and not at all
/// when empty.
struct View {
  std::map<std::string, std::string> text;
  std::map<std::string, std::string> markup;
  std::map<std::string, std::vector<View>> lists;
};

/// Fills one of the templates of src/report/assets.
std::string render(std::string_view template_name, const View& view);

/// A whole page around a body: head, style sheets, footer. `style` names the additional sheet of
/// this kind of page, or is empty.
std::string page(const std::string& title, const std::string& kind, std::string_view style,
                 const std::string& body);

}  // namespace lampbeat::report::html
