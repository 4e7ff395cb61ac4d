//! Unpacks in an exported page what it carries packed.
//!
//! `www/player/start.js` carries this module as text, so every byte of it counts: it has no glue,
//! takes and gives one byte a call, and its memory is never given back, since the page lets the
//! module go as soon as all is unpacked.

use cueleaf_pack::{Next, Pieces};
use std::cell::RefCell;

#[derive(Debug)]
#[expect(
    clippy::large_enum_variant,
    reason = "there is one, in a place of its own; a box would be code"
)]
enum State {
    Given(Vec<u8>),
    Unpacking(Pieces),
}

thread_local! {
    static STATE: RefCell<State> = const { RefCell::new(State::Given(Vec::new())) };
}

/// Takes the next packed byte.
#[expect(
    unsafe_code,
    reason = "the name is exported; no other crate is linked with it"
)]
#[unsafe(no_mangle)]
pub extern "C" fn give(byte: u8) {
    STATE.with_borrow_mut(|state| {
        if let State::Given(bytes) = state {
            bytes.push(byte);
        }
    });
}

/// Gives the next byte as it was before it was packed, 256 where a function begins and after the
/// last of them, and −1 at the end.
#[expect(
    unsafe_code,
    reason = "the name is exported; no other crate is linked with it"
)]
#[unsafe(no_mangle)]
pub extern "C" fn take() -> i32 {
    STATE.with_borrow_mut(|state| {
        if let State::Given(bytes) = state {
            let Some(unpacking) = Pieces::new(core::mem::take(bytes)) else {
                return -1;
            };
            *state = State::Unpacking(unpacking);
        }
        let State::Unpacking(unpacking) = state else {
            return -1;
        };
        match unpacking.next_piece() {
            Some(Next::Byte(byte)) => i32::from(byte),
            Some(Next::Function) => 256,
            None => -1,
        }
    })
}

/// Memory that only grows: each piece gets pages of its own, which are nought already.
#[cfg(target_arch = "wasm32")]
mod memory {
    use core::alloc::{GlobalAlloc, Layout};
    use core::arch::wasm32::memory_grow;

    struct Pages;

    #[expect(
        unsafe_code,
        reason = "an allocator; pages that were never given hold no value"
    )]
    // SAFETY: every piece is whole pages of its own that nothing else gets.
    unsafe impl GlobalAlloc for Pages {
        unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
            match memory_grow::<0>(layout.size().div_ceil(0x1_0000)) {
                usize::MAX => core::ptr::null_mut(),
                page => (page * 0x1_0000) as *mut u8,
            }
        }

        unsafe fn dealloc(&self, _: *mut u8, _: Layout) {}

        unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
            // SAFETY: the same promise as that of the caller.
            unsafe { self.alloc(layout) }
        }
    }

    #[global_allocator]
    static PAGES: Pages = Pages;
}
