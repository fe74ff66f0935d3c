#include "lampbeat/html.hpp"

#include <map>
#include <nlohmann/json.hpp>
#include <regex>

#include "browser/sample_pages.hpp"
#include "lampbeat/advice.hpp"
#include "lampbeat/json.hpp"
#include "report/html/figures.hpp"
#include "support/catch.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"

namespace {

/// Follows a dotted key ("fixtures.0.svm") into a document.
const nlohmann::json* at_key(const nlohmann::json& document, const std::string& key) {
  const nlohmann::json* place = &document;
  for (std::size_t from = 0; from <= key.size();) {
    const std::size_t dot = std::min(key.find('.', from), key.size());
    const std::string step = key.substr(from, dot - from);
    if (place->is_array()) {
      const std::size_t i = std::stoul(step);
      if (i >= place->size()) return nullptr;
      place = &(*place)[i];
    } else {
      if (!place->contains(step)) return nullptr;
      place = &(*place)[step];
    }
    from = dot + 1;
  }
  return place;
}

/// Compares every <data> of a page whose title is a key of the JSON; returns how many there were.
int compare_figures(const std::string& html, const std::string& json) {
  const auto document = nlohmann::json::parse(json);
  const std::regex data("<data value=\"([^\"]*)\" title=\"([^\"]*)\">([^<]*)</data>");
  int compared = 0;
  for (std::sregex_iterator it(html.begin(), html.end(), data), end; it != end; ++it) {
    const nlohmann::json* value = at_key(document, (*it)[2]);
    if (!value || !value->is_number()) continue;
    INFO((*it)[2] << " reads " << (*it)[3]);
    CHECK(std::stod((*it)[1]) == value->get<double>());
    ++compared;
  }
  return compared;
}

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != text.npos; at = text.find(part, at + 1)) ++n;
  return n;
}

}  // namespace

TEST_CASE("every figure of a page that the JSON has too is the JSON's figure") {
  const auto m = example::panel();
  CHECK(compare_figures(lampbeat::measurement_html(m), lampbeat::to_json(m)) >= 24);
  const auto p = example::lost_shot();
  CHECK(compare_figures(lampbeat::prediction_html(p), lampbeat::to_json(p, lampbeat::advise(p))) >=
        9);
  const auto f = example::filmed_wall();
  CHECK(compare_figures(lampbeat::footage_html(f), lampbeat::to_json(f)) >= 24);
  const auto k = example::kitchen();
  CHECK(compare_figures(lampbeat::room_html(k), lampbeat::to_json(k)) >= 15);
  const auto r = example::shelf();
  CHECK(compare_figures(lampbeat::shelf_html(r), lampbeat::to_json(r)) >= 20);
  std::string year;
  for (const auto& c : example::a_year()) year += (year.empty() ? "[" : ",") + lampbeat::to_json(c);
  CHECK(compare_figures(lampbeat::comparison_html(example::a_year()), year + "]") >= 12);
}

TEST_CASE("a page words one figure one way wherever it stands") {
  const auto m = example::panel();
  const auto p = example::lost_shot();
  const lampbeat::PageCompanions with = example::companions(p);
  for (const std::string& html :
       {lampbeat::measurement_html(m, with), lampbeat::prediction_html(p, with),
        lampbeat::shelf_html(example::shelf())}) {
    const std::regex data("<data value=\"([^\"]*)\" title=\"([^\"]*)\">([^<]*)</data>");
    std::map<std::pair<std::string, std::string>, std::string> worded;
    int again = 0;
    for (std::sregex_iterator it(html.begin(), html.end(), data), end; it != end; ++it) {
      // The unit tells a percentage from a frequency of the same size.
      const std::string shown = (*it)[3];
      const std::string unit = shown.substr(std::min(shown.find("\u00A0"), shown.size()));
      const auto [known, is_new] = worded.try_emplace({(*it)[1], unit}, shown);
      INFO((*it)[2]);
      CHECK(known->second == shown);
      again += is_new ? 0 : 1;
    }
    CHECK(again > 0);
  }
}

TEST_CASE("what is shown of a figure is its rounded value") {
  // Worked by hand.
  CHECK(lampbeat::words::in_digits(38.412345678) == "38.4");
  CHECK(lampbeat::words::in_digits(9.996) == "10.0");
  CHECK(lampbeat::words::in_digits(0.0004567, 2) == "0.00046");
  CHECK(lampbeat::words::in_digits(-0.05, 2) == "−0.050");
  CHECK(lampbeat::words::in_digits(48000.0, 6) == "48000.0");
  CHECK(lampbeat::words::in_digits(0.0) == "0");
  CHECK(lampbeat::words::in_digits_at_most(60.0, 5) == "60");
  CHECK(lampbeat::words::in_digits_at_most(59.94, 5) == "59.94");
  CHECK(lampbeat::words::in_digits_at_most(600.0, 3) == "600");
}

TEST_CASE("a page never shows a number for what was not measured") {
  lampbeat::Measurement m;
  m.capture = "ac-coupled.wav";
  m.dominant_hz = 100.0;
  const std::string html = lampbeat::measurement_html(m);
  CHECK(html.find("title=\"percent_flicker\"") == html.npos);
  CHECK(count(html, "not measured") >= 4);
}

TEST_CASE("the page of a clip marks its dark bands, and draws what there is to draw") {
  const std::string html = lampbeat::footage_html(example::filmed_wall());
  CHECK(html.find("Strong: this clip is ruined by bands.") < html.find("A frame of it"));
  CHECK(html.find("data:image/png;base64,") != html.npos);
  const std::size_t frame = html.find("clip-frame-desc");
  const std::string drawing = html.substr(frame, html.find("</svg>", frame) - frame);
  CHECK(count(drawing, "window-mark") == 4);  // two bands, at both sides
  for (const char* id : {"row-profile", "clip-course", "frame-levels"}) {
    CHECK(html.find(id) != html.npos);
  }
  lampbeat::FootageResult nothing;
  nothing.clip = "black.mp4";
  const std::string empty = lampbeat::footage_html(nothing);
  CHECK(empty.find("<svg") == empty.npos);
  CHECK(empty.find("title=\"band_percent\"") == empty.npos);
  CHECK(count(empty, "not measured") >= 4);
}

TEST_CASE("names and notes from outside cannot become markup") {
  lampbeat::Measurement m = example::panel();
  m.capture = example::hostile();
  m.warnings = {{"code", example::hostile()}};
  const std::string html = lampbeat::measurement_html(m);
  CHECK(html.find("<script") == html.npos);
  CHECK(html.find("<img src=x") == html.npos);
  CHECK(html.find("&lt;script&gt;") != html.npos);
  CHECK(html.find('\x1b') == html.npos);
  CHECK(count(html, "<style>") == 1);  // "{{{style}}}" inside a name is not filled in
}

TEST_CASE(
    "bytes that are no UTF-8, controls and direction marks become the replacement character") {
  const std::string r = "\xEF\xBF\xBD";
  CHECK(lampbeat::words::for_page("caf\xC3\xA9") == "caf\xC3\xA9");
  CHECK(lampbeat::words::for_page("a\xFFz") == "a" + r + "z");
  CHECK(lampbeat::words::for_page("a\xC0\xAFz") == "a" + r + r + "z");         // overlong "/"
  CHECK(lampbeat::words::for_page("\xED\xA0\x80") == r + r + r);               // a surrogate
  CHECK(lampbeat::words::for_page("\xF0\x9F\x92\xA1") == "\xF0\x9F\x92\xA1");  // U+1F4A1
  CHECK(lampbeat::words::for_page("\xE2\x80\xAEgpj") == r + "gpj");  // right-to-left override
  CHECK(lampbeat::words::for_page("a\x1b[31m\tb\n") == "a" + r + "[31m b ");
  CHECK(lampbeat::words::as_markup("<a href='x'>&\"") == "&lt;a href=&#39;x&#39;&gt;&amp;&quot;");
}

TEST_CASE("base64 gives the test vectors of RFC 4648, section 10") {
  const std::pair<const char*, const char*> vectors[] = {{"", ""},
                                                         {"f", "Zg=="},
                                                         {"fo", "Zm8="},
                                                         {"foo", "Zm9v"},
                                                         {"foob", "Zm9vYg=="},
                                                         {"fooba", "Zm9vYmE="},
                                                         {"foobar", "Zm9vYmFy"}};
  for (const auto& [plain, coded] : vectors) CHECK(lampbeat::report::html::base64(plain) == coded);
}

TEST_CASE("the wall card fills exactly the safe settings") {
  const auto plan = example::kitchen_plan({"1/60", "1/120", "1/250"});
  int safe = 0;
  for (const auto& s : plan.settings) safe += s.worst.verdict == lampbeat::Verdict::clean ? 1 : 0;
  const std::string html = lampbeat::wall_card_html(plan, lampbeat::wall_card(plan));
  CHECK(safe > 0);
  CHECK(count(html, "<td class=\"safe\"") == static_cast<std::size_t>(safe));
  CHECK(html.find("ceiling panel") != html.npos);
  CHECK(html.find("60 Hz mains") != html.npos);
  CHECK(html.find("± 0.31 Hz") != html.npos);
}
