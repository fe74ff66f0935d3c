#include <exception>
#include <map>
#include <string>
#include <string_view>

#include "lampbeat/error.hpp"
#include "lampbeat/version.hpp"
#include "page/answers.hpp"
#include "page/camera_view.hpp"
#include "page/microphone.hpp"

// What script calls: one question as JSON, one answer as JSON; samples and pictures as they are.

namespace {

using namespace lampbeat::page;

Json answer_to(const Json& request) {
  static const std::map<std::string_view, Json (*)(const Json&)> answers = {
      {"typical", [](const Json&) { return typical_lights_answer(); }},
      {"predict", prediction_answer},
      {"moving", moving_wall_answer},
      {"strip", strip_answer},
      {"map", map_answer},
      {"card", card_answer},
      {"open", opened_answer},
      {"heard", heard_answer},
      {"seen", seen_answer},
  };
  return answers.at(text_of(request, "ask"))(request);
}

}  // namespace

extern "C" {

/// The answer, {"answer": ...} or {"error": "a sentence for people"}, until the next question.
const char* lampbeat_ask(const char* question) {
  static std::string said;
  Json reply;
  try {
    reply["answer"] = answer_to(Json::parse(question));
  } catch (const lampbeat::UsageError& error) {
    reply["error"] = error.what();
  } catch (const lampbeat::InputError& error) {
    reply["error"] = error.what();
  } catch (const std::exception& error) {
    reply["error"] = std::string("this could not be worked out: ") + error.what();
  }
  said = lampbeat::files::json::one_line(reply);
  return said.c_str();
}

const char* lampbeat_version() { return lampbeat::version; }

void lampbeat_listen(double rate_hz) { begin_listening(rate_hz); }
void lampbeat_hear(const float* samples, int count) {
  hear({samples, static_cast<std::size_t>(count)});
}

void lampbeat_look_from(int width, int height, int full_range) {
  begin_looking(width, height, full_range != 0);
}
void lampbeat_look(const std::uint8_t* luma, int count, double taken_s) {
  look({luma, static_cast<std::size_t>(count)}, taken_s);
}

void lampbeat_look_rgba(const std::uint8_t* rgba, int count, double taken_s) {
  look_at_colours({rgba, static_cast<std::size_t>(count)}, taken_s);
}

}  // extern "C"
