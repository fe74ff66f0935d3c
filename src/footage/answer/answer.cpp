#include "footage/answer/answer.hpp"

#include <fmt/format.h>

#include "footage/answer/curve_check.hpp"
#include "footage/answer/lamps.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

void append(Findings& to, const Findings& more) { to.insert(to.end(), more.begin(), more.end()); }

/// Empty for a still, and where the frames' times are not known: without them there is no roll, and
/// with that neither light nor readout.
std::optional<double> known_fps(const stretches::Watched& watched) {
  return watched.uneven ? std::nullopt : watched.fps;
}

NamedLight named(const std::vector<waves::Wave>& waves, const Figures& figures,
                 const stretches::Watched& watched, const FootageSettings& settings) {
  if (watched.uneven) return {};
  if (!watched.fps) return light_in_still(waves.front(), settings);
  return light_in_clip(waves, *watched.fps, figures.roll->hz, settings);
}

/// With the roll's direction, where only the light tells it.
Figures directed_by(const NamedLight& light, Figures figures) {
  if (light.roll_hz) figures.roll->hz = *light.roll_hz;
  return figures;
}

std::optional<double> readout_of(const NamedLight& light, const FootageSettings& settings) {
  if (settings.readout_s || !light.readout) return settings.readout_s;
  return light.readout->s;
}

Recovered recovered(const std::vector<waves::Wave>& waves, const NamedLight& light,
                    const stretches::Watched& watched, const FootageSettings& settings) {
  if (!settings.exposure_s || watched.uneven) return {};
  return recovered(waves, light, watched.fps, *settings.exposure_s, readout_of(light, settings),
                   watched.combined.smallest_seen(), watched.format.name);
}

Diagnosis diagnosed(const std::vector<waves::Wave>& waves, const NamedLight& light,
                    const stretches::Watched& watched, const FootageSettings& settings) {
  if (!known_fps(watched)) return {};
  const Filmed filmed{*watched.rate, settings.exposure_s, readout_of(light, settings),
                      watched.format.height};
  const auto lamps = one_for_each_lamp(waves, static_cast<double>(watched.taken),
                                       static_cast<double>(watched.layout.rows));
  return diagnosed(lamps, light.lights, settings.suspects, filmed);
}

CurveVerdict curve_verdict(const stretches::Watched& watched, const TransferFunction& assumed) {
  const auto& evidence = watched.combined.curves();
  if (!evidence) return {};
  const auto better = better_curve(*evidence);
  if (!better) return {agrees_with_curve(*evidence), std::nullopt};
  return {agrees_with_curve(*evidence), curve_doubt(*better, assumed)};
}

/// What stands of an answer whose depths are in doubt.
Answer doubted(Answer answer, const CurveDoubt& doubt, std::optional<double> fps,
               const Viewing& viewing) {
  if (answer.judgement &&
      !holds_under(doubt, answer.judgement->verdict, answer.figures, fps, viewing)) {
    answer.judgement.reset();
  }
  answer.figures.bands = widened(answer.figures.bands, doubt);
  answer.diagnosis.waves = widened(std::move(answer.diagnosis.waves), doubt);
  // A light worked back through the wrong curve would be the wrong light.
  answer.recovered.light.reset();
  answer.findings.push_back({"transfer_doubtful", doubt.why});
  return answer;
}

}  // namespace

Answer answer_of(const stretches::Watched& watched, const Evidence& evidence,
                 const FootageSettings& settings) {
  Answer answer;
  const auto [waves, undirected] = directed(evidence.waves, settings.light_hz.has_value());
  const Figures figures = figures_of(waves, watched.format.height, known_fps(watched));
  answer.row_pattern = row_pattern_of(waves, watched.format.height);
  answer.light = named(waves, figures, watched, settings);
  answer.figures = directed_by(answer.light, figures);
  answer.recovered = recovered(waves, answer.light, watched, settings);
  answer.diagnosis = diagnosed(waves, answer.light, watched, settings);
  append(answer.findings, undirected);
  append(answer.findings, answer.light.findings);
  append(answer.findings, answer.recovered.findings);
  if (!evidence.open_to_doubt) {
    answer.judgement = judged(answer.figures, watched.fps, settings.viewing);
  }
  answer.curve = curve_verdict(watched, settings.transfer);
  if (!answer.curve.doubt) return answer;
  const CurveDoubt doubt = *answer.curve.doubt;
  return doubted(std::move(answer), doubt, watched.fps, settings.viewing);
}

AbsenceVerdict judged_absence(const stretches::Watched& watched, const Evidence& evidence,
                              const FootageSettings& settings) {
  if (!evidence.nothing_seen || evidence.open_to_doubt) return {};
  const double percent = *evidence.smallest_seen_percent;
  if (could_be_clean(percent / 100.0, evidence.absent_roll_hz, watched.fps, settings)) {
    return {Judgement{std::nullopt, Verdict::clean}, {}};
  }
  return {
      std::nullopt,
      {{"too_faint_to_exclude",
        fmt::format("Bands of up to {} % could have gone unnoticed, and bands as deep as that can "
                    "be seen: film longer, brighter, on a tripod, a plain wall.",
                    words::in_digits_at_most(percent, 2))}}};
}

}  // namespace lampbeat::footage::answer
