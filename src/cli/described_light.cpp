#include "cli/described_light.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string_view>

#include "arithmetic/phase.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/typical.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::cli {

namespace {

constexpr const char* light_options = "the light";
/// What --mains alone stands for; common practice, no source.
constexpr double plain_ripple_percent = 20.0;

std::vector<std::string_view> parts_of(std::string_view text) {
  std::vector<std::string_view> parts;
  while (true) {
    const auto colon = text.find(':');
    parts.push_back(text.substr(0, colon));
    if (colon == std::string_view::npos) return parts;
    text.remove_prefix(colon + 1);
  }
}

LightComponent component_in(const std::string& text, std::optional<double> mains_hz) {
  const auto parts = parts_of(text);
  std::vector<double> numbers;
  for (const auto part : parts) {
    if (const auto number = words::finite_number_in(part)) numbers.push_back(*number);
  }
  if (numbers.size() != parts.size() || numbers.size() < 2 || numbers.size() > 3) {
    throw UsageError(fmt::format(
        "--component takes HZ:PERCENT or HZ:PERCENT:PHASE_DEG, such as 100:20 or 100:20:90, not "
        "'{}'",
        words::excerpt(text)));
  }
  LightComponent component;
  component.hz = numbers[0];
  component.amplitude = numbers[1] / 100.0;
  if (numbers.size() == 3) component.phase_rad = numbers[2] * std::numbers::pi / 180.0;
  if (mains_hz) {
    const double order = component.hz / *mains_hz;
    if (order > 0.5 && order < 1e6 && arithmetic::off_whole(order) < 1e-9 * order) {
      component.mains_order = static_cast<int>(std::round(order));
    }
  }
  return component;
}

PwmDimmer dimmer_in(const std::string& text) {
  const auto parts = parts_of(text);
  if (parts.size() == 2) {
    const bool percent = !parts[1].empty() && parts[1].back() == '%';
    const auto hz = words::finite_number_in(parts[0]);
    const auto duty =
        words::finite_number_in(percent ? parts[1].substr(0, parts[1].size() - 1) : parts[1]);
    if (hz && duty) {
      const double lit = percent ? *duty / 100.0 : *duty;
      if (lit > 0.0 && lit < 1.0) return {*hz, lit};
      throw UsageError(fmt::format(
          "a dimmer's duty cycle, the part of the time it is lit, lies between 0 and 1 (0 and "
          "100 %), not {}",
          words::excerpt(parts[1])));
    }
  }
  throw UsageError(fmt::format("--pwm takes HZ:DUTY, such as 480:0.3 or 480:30%, not '{}'",
                               words::excerpt(text)));
}

Light typical_recipe(const DescribedLight& described, const Session& session) {
  const double assumed_hz = 60.0;
  Light light = typical_light(described.typical, described.mains_hz.value_or(assumed_hz));
  if (light.mains_hz && !described.mains_hz) {
    note(session, fmt::format("assuming {:g} Hz mains; say --mains 50 for the other", assumed_hz));
  }
  return light;
}

}  // namespace

void add_light_options(CLI::App& command, DescribedLight& light) {
  command.add_option("--mains", light.mains_hz, "mains frequency; alone: a lamp with 20 % ripple")
      ->type_name("HZ")
      ->group(light_options);
  command
      .add_option("--typical", light.typical,
                  "a generic lamp; 'lampbeat predict --list-typical' names them")
      ->type_name("NAME")
      ->group(light_options);
  command
      .add_option("--component", light.components,
                  "a cosine of the light, % of its mean, phase at the first sample; repeatable")
      ->type_name("HZ:PERCENT[:PHASE_DEG]")
      ->allow_extra_args(false)
      ->group(light_options);
  command
      .add_option("--rectified", light.rectified_percent,
                  "ripple of rectified mains, as its percent flicker; needs --mains")
      ->type_name("PERCENT")
      ->group(light_options);
  command.add_option("--pwm", light.pwm, "chopped by a dimmer: 480:0.3 or 480:30%")
      ->type_name("HZ:DUTY")
      ->group(light_options);
}

LightRecipe light_recipe(const DescribedLight& described, const Session& session) {
  LightRecipe recipe;
  if (described.mains_hz) require_mains_hz(*described.mains_hz);
  if (!described.typical.empty()) recipe.base = typical_recipe(described, session);
  recipe.base.mains_hz = described.mains_hz;
  for (const std::string& text : described.components) {
    recipe.base.components.push_back(component_in(text, described.mains_hz));
  }
  if (!described.pwm.empty()) recipe.pwm = dimmer_in(described.pwm);
  const bool described_otherwise =
      !described.typical.empty() || !described.components.empty() || recipe.pwm;
  if (described.rectified_percent) {
    if (!described.mains_hz) {
      throw UsageError(
          "--rectified needs to know the mains frequency; add --mains 50 or --mains 60");
    }
    recipe.ripple = RectifiedRipple{*described.mains_hz, *described.rectified_percent};
  } else if (described.mains_hz && !described_otherwise) {
    recipe.ripple = RectifiedRipple{*described.mains_hz, plain_ripple_percent};
  } else if (!described_otherwise) {
    throw UsageError(
        "describe a light: --mains 50 for a lamp with ordinary ripple, --typical tube-magnetic, "
        "--component 100:20, or --pwm 480:30%");
  }
  return recipe;
}

}  // namespace lampbeat::cli
