#pragma once

#include "page/asked.hpp"

// One answer for each question the page asks of its engine. All throw UsageError and InputError.

namespace lampbeat::page {

/// The generic lights: [{name, description}].
Json typical_lights_answer();

/// The verdict on one shot in sentences, its figures and its wall.
Json prediction_answer(const Json& request);

/// How the wall moves: `frames` of it as greys of its rows, and how fast they may be shown so that
/// nothing flashes more than three times a second (WCAG 2.2, success criterion 2.3.1).
Json moving_wall_answer(const Json& request);

/// Exposure against visibility, `count` of them over what the frame rate allows, of which the ones
/// from `first` on, each `every` apart, are judged.
Json strip_answer(const Json& request);

/// Frame rates against shutters, drawn.
Json map_answer(const Json& request);

/// The card for the wall, a whole page.
Json card_answer(const Json& request);

/// A capture, or a light profile, that stands in the file `name`.
Json opened_answer(const Json& request);

/// What the microphone input has heard so far: the last second, or with `whole` all of it.
Json heard_answer(const Json& request);

/// What the camera has seen so far.
Json seen_answer(const Json& request);

}  // namespace lampbeat::page
