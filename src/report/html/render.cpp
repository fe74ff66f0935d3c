#include "report/html/render.hpp"

#include <kainjow/mustache.hpp>
#include <stdexcept>

#include "lampbeat/version.hpp"
#include "report/assets/assets.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::report::html {

namespace {

using kainjow::mustache::data;
using kainjow::mustache::mustache;

data as_data(const View& view) {
  data object = data::type::object;
  for (const auto& [name, text] : view.text) object.set(name, text);
  for (const auto& [name, markup] : view.markup) object.set(name, markup);
  for (const auto& [name, entries] : view.lists) {
    data list = data::type::list;
    for (const View& entry : entries) list << as_data(entry);
    object.set(name, list);
  }
  return object;
}

}  // namespace

std::string render(std::string_view template_name, const View& view) {
  mustache filled{std::string(assets::asset(template_name))};
  filled.set_custom_escape([](const std::string& text) { return words::as_markup(text); });
  std::string text = filled.render(as_data(view));
  if (!filled.is_valid()) throw std::logic_error(filled.error_message());
  return text;
}

std::string page(const std::string& title, const std::string& kind, std::string_view style,
                 const std::string& body) {
  View view;
  view.text["title"] = title;
  view.text["kind"] = kind;
  view.text["version"] = version;
  view.text["measurement_version"] = std::to_string(measurement_version);
  view.markup["style"] = std::string(assets::asset("page.css"));
  if (!style.empty()) view.markup["style"] += assets::asset(style);
  view.markup["body"] = body;
  return render("page.mustache", view);
}

}  // namespace lampbeat::report::html
