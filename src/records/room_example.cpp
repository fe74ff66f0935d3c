#include "lampbeat/room_file.hpp"

namespace lampbeat {

std::string example_room() {
  return R"({
  "schema": "lampbeat.room-file/1",
  "name": "teaching kitchen",
  "comment": [
    "A small teaching kitchen that films its lessons. Change what differs in yours, then run",
    "lampbeat room FILE.json --fps 25 --shutter 1/50 --readout 16ms",
    "Metres, from one corner of the floor: x along the length, y along the width, z up.",
    "A comment or notes may stand at any fixture or place."
  ],
  "mains_hz": 60,
  "size_m": [7.2, 5.4, 2.7],
  "reflected_share": 0.5,
  "fixtures": [
    {
      "name": "ceiling panel left",
      "typical": "led-smoothed",
      "at_m": [1.8, 2.7, 2.7],
      "lumens": 3600,
      "circuit": "ceiling",
      "phase": "A",
      "comment": "\"typical\" stands in until you measured the lamp; then write \"profile\": \"panel.json\". Flat panels need no beam; \"lumens\" are on the box."
    },
    {
      "name": "ceiling panel right",
      "typical": "led-smoothed",
      "at_m": [5.4, 2.7, 2.7],
      "lumens": 3600,
      "circuit": "ceiling",
      "phase": "A"
    },
    {
      "name": "worktop strip",
      "typical": "led-pwm",
      "at_m": [3.6, 5.1, 1.5],
      "length_m": 2.4,
      "along": [1, 0, 0],
      "lumens": 1600,
      "circuit": "worktop",
      "phase": "B",
      "comment": "\"at_m\" is the middle of a strip, \"along\" its direction. It shines down unless \"aim\" says otherwise. \"dim\": 0.5 would halve its light, 0 switch it off."
    },
    {
      "name": "hood lamp",
      "typical": "halogen",
      "at_m": [2.0, 5.0, 1.7],
      "lumens": 300,
      "half_angle_deg": 30,
      "circuit": "hood",
      "comment": "A spot: at \"half_angle_deg\" off its middle it has half its intensity."
    },
    {
      "name": "store tube",
      "typical": "tube-magnetic",
      "at_m": [6.8, 0.6, 2.6],
      "length_m": 1.2,
      "along": [0, 1, 0],
      "bare": true,
      "lumens": 2500,
      "circuit": "store",
      "phase": "B",
      "comment": "\"bare\": a tube without a reflector, shining all round."
    }
  ],
  "places": [
    {
      "name": "demonstration table",
      "at_m": [3.6, 2.7, 0.9],
      "comment": "A table top: it faces up unless \"facing\" says otherwise."
    },
    {
      "name": "cook's face",
      "at_m": [3.6, 3.4, 1.6],
      "facing": [0, -1, 0],
      "comment": "\"facing\" points from the surface to where the camera stands."
    },
    {
      "name": "worktop",
      "at_m": [3.6, 5.0, 0.9]
    },
    {
      "name": "wall behind",
      "at_m": [5.2, 5.4, 1.6],
      "facing": [0, -1, 0]
    }
  ]
}
)";
}

}  // namespace lampbeat
