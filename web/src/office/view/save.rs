//! Saving: the page, its hosted copy, the pack, the files.

use super::Bench;
use crate::office::state::{Product, Saving};
use crate::office::update::Msg;
use crate::text::office::Desk;
use yew::prelude::*;

/// The last step.
pub(super) fn save(bench: &Bench) -> Html {
    let office = bench.office;
    let comes = office.read.is_running() || office.fit.is_running();
    let ready = office.fresh_fit().is_some() || comes && office.shown_fit().is_some();
    // A press that took the focus out of a field would move the buttons before it is over; what is typed there is taken
    // with the press.
    let stay = Callback::from(|event: MouseEvent| event.prevent_default());
    let button = |label: Desk, product: Product| {
        html! { <span onmousedown={stay.clone()}>{ bench.button(label, bench.tap(Msg::Save(product))) }</span> }
    };
    let saying = match &office.saving {
        Saving::None => (!office.to_save.is_empty()).then(|| bench.say(Desk::Saving).to_owned()),
        Saving::Running(_) => Some(bench.say(Desk::Saving).to_owned()),
        Saving::Saved(product) => Some(bench.words.saved(*product).to_owned()),
        Saving::Failed(why) => Some(bench.words.save_failed(why)),
    };
    html! {
        <>
            <p>{ bench.say(if ready { Desk::SaveIntro } else { Desk::SaveFirst }) }</p>
            <p class="ways-on">
                { for ready.then(|| html! {
                    <>
                        { button(Desk::SavePage, Product::Page) }
                        { button(Desk::SaveSite, Product::Site) }
                        { button(Desk::SavePack, Product::Pack) }
                    </>
                }) }
                { button(Desk::SaveFolder, Product::Folder) }
            </p>
            { for saying.map(|words| html! { <p class="remark" role="status">{ words }</p> }) }
            { for ready.then(|| html! { <p class="hint">{ bench.say(Desk::Hosts) }</p> }) }
        </>
    }
}
