//! Memory in pieces whose sizes are powers of two.
//!
//! The usual allocator is a thirtieth of the player. A page for one student needs little memory
//! and not for long: what is given back is kept for the next piece of its size.

#![cfg(target_arch = "wasm32")]

use core::alloc::{GlobalAlloc, Layout};
use core::arch::wasm32::memory_grow;
use core::cell::Cell;
use core::ptr::null_mut;

const PAGE: usize = 0x1_0000;
/// The smallest piece: room for a pointer, and aligned for anything.
const LEAST: usize = 16;

struct Pieces {
    /// For each power of two the first piece that was given back; it begins with the next one's
    /// address.
    free: [Cell<*mut u8>; 32],
    /// Where memory begins that was never given, and where it ends.
    next: Cell<usize>,
    end: Cell<usize>,
}

#[expect(unsafe_code, reason = "a static; a page has one thread")]
// SAFETY: the module is built without threads.
unsafe impl Sync for Pieces {}

/// Gives which power of two a piece has, and how many bytes these are.
const fn size_of(layout: Layout) -> (usize, usize) {
    let least = if layout.size() < LEAST {
        LEAST
    } else {
        layout.size()
    };
    let size = least.next_power_of_two();
    (size.trailing_zeros() as usize, size)
}

#[expect(
    unsafe_code,
    reason = "an allocator; nothing of ours needs more than 16 bytes aligned"
)]
// SAFETY: a piece is at least as large as asked for, aligned to 16 bytes, and nobody else's until
// it is given back.
unsafe impl GlobalAlloc for Pieces {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let (power, size) = size_of(layout);
        let Some(free) = self.free.get(power).filter(|_| layout.align() <= LEAST) else {
            return null_mut();
        };
        let first = free.get();
        if !first.is_null() {
            // SAFETY: a piece that was given back begins with the address of the next.
            free.set(unsafe { first.cast::<*mut u8>().read() });
            return first;
        }
        if self.end.get() - self.next.get() < size {
            let pages = size.div_ceil(PAGE);
            let page = memory_grow::<0>(pages);
            if page == usize::MAX {
                return null_mut();
            }
            // Mostly the new pages follow on the old ones.
            if page * PAGE != self.end.get() {
                self.next.set(page * PAGE);
            }
            self.end.set((page + pages) * PAGE);
        }
        let at = self.next.get();
        self.next.set(at + size);
        at as *mut u8
    }

    unsafe fn dealloc(&self, piece: *mut u8, layout: Layout) {
        if let Some(free) = self.free.get(size_of(layout).0) {
            // SAFETY: the piece has room for a pointer, and its owner gave it back.
            unsafe { piece.cast::<*mut u8>().write(free.get()) };
            free.set(piece);
        }
    }
}

#[global_allocator]
static PIECES: Pieces = Pieces {
    free: [const { Cell::new(null_mut()) }; 32],
    next: Cell::new(0),
    end: Cell::new(0),
};
