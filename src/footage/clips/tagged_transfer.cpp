#include "footage/clips/tagged_transfer.hpp"

namespace lampbeat::footage::clips {

std::optional<TransferFunction> transfer_numbered(int number) {
  switch (number) {
    case 1:
    case 6:
    case 11:
    case 14:
    case 15:
      return TransferFunction{Transfer::bt709, {}};
    case 4:
      return TransferFunction{Transfer::gamma, 2.2};
    case 5:
      return TransferFunction{Transfer::gamma, 2.8};
    case 8:
      return TransferFunction{Transfer::linear, {}};
    case 13:
      return TransferFunction{Transfer::srgb, {}};
    case 16:
      return TransferFunction{Transfer::pq, {}};
    case 18:
      return TransferFunction{Transfer::hlg, {}};
    default:
      return std::nullopt;
  }
}

}  // namespace lampbeat::footage::clips
