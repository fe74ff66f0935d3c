#pragma once

#include "footage/answer/answer.hpp"
#include "footage/answer/evidence.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::answer {

/// Everything that was found, as others read it.
FootageResult told(const stretches::Watched& watched, const Evidence& evidence,
                   const Answer& answer, const FootageSettings& settings);
FootageResult told(const stretches::Watched& watched, const Evidence& evidence,
                   const AbsenceVerdict& absence, const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
