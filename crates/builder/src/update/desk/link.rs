//! Links: their address, to make, to copy, to download the picture.

use super::commit;
use crate::linking::{make, picture, picture_name};
use crate::msg::{Effect, LinkMsg};
use crate::state::Desk;
use cueleaf_export::{Address, AddressError};
use cueleaf_guide::Id;

/// Takes a message in; gives the address that the device should remember now.
pub(super) fn take(desk: &mut Desk, msg: LinkMsg, effects: &mut Vec<Effect>) -> Option<String> {
    match msg {
        LinkMsg::Address(text) => return set_address(desk, text, effects),
        LinkMsg::Make(part) => return make_link(desk, part, effects),
        LinkMsg::Copy => {
            if let Some(ready) = ready(desk) {
                effects.push(Effect::Copy(ready.text.clone(), "link-text".to_owned()));
            }
        }
        LinkMsg::Copied(told) => {
            if let Some(made) = &mut desk.linking.made {
                made.copied = Some(told);
            }
        }
        LinkMsg::Picture => {
            let made = desk.linking.fresh(desk.guide());
            if let Some((made, picture)) = made.and_then(|made| Some((made, made.picture()?))) {
                let name = picture_name(desk.guide(), made.part.as_ref());
                effects.push(download(name, &picture.svg));
            }
        }
        LinkMsg::Other(text) => {
            let text = text.trim().to_owned();
            let title = desk.guide().title.clone();
            desk.linking.other = (!text.is_empty()).then(|| {
                let drawn = picture(&text, &title);
                (text, drawn)
            });
        }
        LinkMsg::OtherPicture => {
            if let Some((_, Ok(picture))) = &desk.linking.other {
                let name = picture_name(desk.guide(), None);
                effects.push(download(name, &picture.svg));
            }
        }
    }
    None
}

fn ready(desk: &Desk) -> Option<&crate::linking::Ready> {
    desk.linking.fresh(desk.guide())?.link.as_ref().ok()
}

fn download(name: String, svg: &str) -> Effect {
    Effect::Download {
        name,
        media: "image/svg+xml",
        text: svg.to_owned(),
    }
}

fn set_address(desk: &mut Desk, text: String, effects: &mut Vec<Effect>) -> Option<String> {
    let address = match Address::read(&text) {
        Ok(address) => address.as_str().to_owned(),
        Err(AddressError::Absent) => String::new(),
        Err(error) => {
            desk.linking.wrong = Some((text, error.to_string()));
            return None;
        }
    };
    desk.linking.wrong = None;
    if !address.is_empty() && address != text.trim() {
        effects.push(Effect::Say(format!("Taken as {address}")));
    }
    name_address(desk, &address, effects);
    Some(address)
}

/// Lets the guide name the address, so that its files can say where they open.
fn name_address(desk: &mut Desk, address: &str, effects: &mut Vec<Effect>) {
    let mut made = desk.guide().as_ref().clone();
    address.clone_into(&mut made.settings.address);
    address.clone_into(&mut desk.linking.known);
    commit(desk, made, "change the address of links", effects);
}

fn make_link(desk: &mut Desk, part: Option<Id>, effects: &mut Vec<Effect>) -> Option<String> {
    let typed = desk.linking.shown(desk.guide()).to_owned();
    let address = match Address::read(&typed) {
        Ok(address) => address,
        Err(error) => {
            desk.linking.wrong = Some((typed, error.to_string()));
            effects.push(Effect::Focus("link-address".to_owned()));
            return None;
        }
    };
    if desk.guide().settings.address != address.as_str() {
        name_address(desk, address.as_str(), effects);
    }
    let made = make(desk.guide(), part, &address);
    let (told, focus) = match &made.link {
        Ok(_) => ("The link is ready.", "link-text"),
        Err(_) => ("No link was made.", "link-trouble"),
    };
    desk.linking.made = Some(made);
    effects.push(Effect::Say(told.to_owned()));
    effects.push(Effect::Focus(focus.to_owned()));
    Some(address.as_str().to_owned())
}
