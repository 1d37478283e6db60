//! Saving: the page, its hosted copy, the pack, the files.

use super::Bench;
use crate::office::state::{Product, Saving};
use crate::office::update::Msg;
use crate::text::office::Desk;
use yew::prelude::*;

/// The last step.
pub(super) fn save(bench: &Bench) -> Html {
    let ready = bench.office.fresh_fit().is_some();
    let button = |label: Desk, product: Product| bench.button(label, bench.tap(Msg::Save(product)));
    let saying = match &bench.office.saving {
        Saving::None => None,
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
