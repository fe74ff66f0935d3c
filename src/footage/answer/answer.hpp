#pragma once

#include <optional>
#include <vector>

#include "footage/answer/curve_doubt.hpp"
#include "footage/answer/evidence.hpp"
#include "footage/answer/figures.hpp"
#include "footage/answer/judging.hpp"
#include "footage/answer/naming.hpp"
#include "footage/answer/recovery.hpp"
#include "footage/answer/suspects.hpp"

namespace lampbeat::footage::answer {

/// How the clip bears out the curve it was read by.
struct CurveVerdict {
  bool tested = false;  ///< bands in bright and dark parts agree under it
  std::optional<CurveDoubt> doubt;
};

/// What the waves of a clip come to: waves → figures → light → verdict.
struct Answer {
  Figures figures;
  std::vector<double> row_pattern;
  NamedLight light;
  Recovered recovered;
  Diagnosis diagnosis;
  CurveVerdict curve;
  std::optional<Judgement> judgement;  ///< empty where it is open what was seen, or how deep
  Findings findings;                   ///< of all steps
};

/// Of evidence that holds waves.
Answer answer_of(const stretches::Watched& watched, const Evidence& evidence,
                 const FootageSettings& settings);

/// The verdict where nothing was found.
struct AbsenceVerdict {
  std::optional<Judgement> judgement;  ///< clean, or empty where visible bands may have hidden
  Findings findings;
};
AbsenceVerdict judged_absence(const stretches::Watched& watched, const Evidence& evidence,
                              const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
