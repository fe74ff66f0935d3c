#pragma once

// The flow, left to right: capture -> signal -> reasoning -> report; footage beside signal.

#include "lampbeat/error.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/version.hpp"

// capture: a sensor log becomes blocks of samples
#include "lampbeat/capture.hpp"

// signal: what the light does
#include "lampbeat/cycle.hpp"
#include "lampbeat/dark_recording.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"
#include "lampbeat/tones.hpp"
#include "lampbeat/window.hpp"

// reasoning: what the camera will see
#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"

// footage: what the camera did see
#include "lampbeat/clip.hpp"
#include "lampbeat/footage.hpp"

// synth: what they would all see, from a description
#include "lampbeat/rendering.hpp"
#include "lampbeat/synth.hpp"

// report: how people read it
#include "lampbeat/html.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/report.hpp"
#include "lampbeat/terminal_plot.hpp"
