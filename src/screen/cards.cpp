#include "cards.h"

namespace seamwright::screen {

void write_cards(job::JsonWriter& json, const Blanks& blanks, bool live) {
    json.begin_list("cards");
    if (!live) {
        write_card(json, top_card(blanks));
        for (std::size_t i = 0; i < blanks.job().document().job.seams.size(); ++i)
            write_card(json, seam_card(blanks, i));
        for (const Card& card : piece_cards(blanks)) write_card(json, card);
        for (const Card& card : shop_cards(blanks)) write_card(json, card);
        for (const Card& card : settings_cards(blanks)) write_card(json, card);
    }
    json.end_list();
}

}  // namespace seamwright::screen
