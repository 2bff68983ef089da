//! The simulated disk as SQLite sees it: a VFS that asks [`super::Disks`] before each change and notes it there, and leaves all
//! else to the system's.
#![allow(unsafe_code, reason = "a VFS of SQLite is a table of C functions")]

use std::{
    ffi::{CStr, OsStr, c_char, c_int, c_void},
    os::unix::ffi::OsStrExt,
    path::{Path, PathBuf},
    ptr,
    sync::OnceLock,
};

use rusqlite::ffi;

use super::{DISKS, Unsynced};

/// An open file: what SQLite sees, its path, and behind it in memory the file of the system's VFS.
#[repr(C)]
struct File {
    base: ffi::sqlite3_file,
    /// None of a file without a name, which nobody can lose.
    path: *mut PathBuf,
}

/// The system's VFS, as a number so that threads can share it.
static SYSTEM: OnceLock<usize> = OnceLock::new();

static METHODS: ffi::sqlite3_io_methods = ffi::sqlite3_io_methods {
    iVersion: 2,
    xClose: Some(close),
    xRead: Some(read),
    xWrite: Some(write),
    xTruncate: Some(truncate),
    xSync: Some(sync),
    xFileSize: Some(file_size),
    xLock: Some(lock),
    xUnlock: Some(unlock),
    xCheckReservedLock: Some(check_reserved_lock),
    xFileControl: Some(file_control),
    xSectorSize: Some(sector_size),
    xDeviceCharacteristics: Some(device_characteristics),
    xShmMap: Some(shm_map),
    xShmLock: Some(shm_lock),
    xShmBarrier: Some(shm_barrier),
    xShmUnmap: Some(shm_unmap),
    xFetch: None,
    xUnfetch: None,
};

/// Registers this disk as the one that SQLite takes unless told otherwise.
pub(super) fn place() -> c_int {
    // SAFETY: the system's VFS lives as long as the process. Its functions go by its pAppData alone, which the copy has too.
    unsafe {
        let system = ffi::sqlite3_vfs_find(ptr::null());
        let Some(found) = system.as_ref() else { return ffi::SQLITE_NOTFOUND };
        SYSTEM.get_or_init(|| system as usize);
        let mut vfs = *found;
        vfs.szOsFile += size_of::<File>() as c_int;
        vfs.pNext = ptr::null_mut();
        vfs.zName = c"simulated".as_ptr();
        vfs.xOpen = Some(open);
        ffi::sqlite3_vfs_register(Box::leak(Box::new(vfs)), 1)
    }
}

/// The file of the system's VFS behind one of ours.
unsafe fn inner(file: *mut ffi::sqlite3_file) -> *mut ffi::sqlite3_file {
    // SAFETY: SQLite gave szOsFile bytes, ours first.
    unsafe { file.cast::<File>().add(1).cast() }
}

/// The path of an open file, where it has one.
unsafe fn path_of<'f>(file: *mut ffi::sqlite3_file) -> Option<&'f Path> {
    // SAFETY: set when it was opened, freed when it is closed.
    unsafe { (*file.cast::<File>()).path.as_ref().map(PathBuf::as_path) }
}

unsafe extern "C" fn open(
    _: *mut ffi::sqlite3_vfs,
    name: ffi::sqlite3_filename,
    file: *mut ffi::sqlite3_file,
    flags: c_int,
    out: *mut c_int,
) -> c_int {
    // SAFETY: as SQLite calls it; the file of the system's VFS stands behind ours.
    unsafe {
        let ours = file.cast::<File>();
        (*ours).base.pMethods = ptr::null();
        (*ours).path = ptr::null_mut();
        let system = SYSTEM.get().map_or(ptr::null_mut(), |at| *at as *mut ffi::sqlite3_vfs);
        let Some(open) = system.as_ref().and_then(|vfs| vfs.xOpen) else { return ffi::SQLITE_CANTOPEN };
        (*inner(file)).pMethods = ptr::null();
        let code = open(system, name, inner(file), flags, out);
        if !(*inner(file)).pMethods.is_null() {
            if !name.is_null() {
                let path = Path::new(OsStr::from_bytes(CStr::from_ptr(name.cast::<c_char>()).to_bytes()));
                (*ours).path = Box::into_raw(Box::new(path.to_owned()));
            }
            (*ours).base.pMethods = &raw const METHODS;
        }
        code
    }
}

/// Calls a function of the system's VFS on the file behind ours.
macro_rules! system {
    ($file:ident . $method:ident ( $($argument:expr),* ), or $without:expr) => {
        // SAFETY: a file that was opened has the system's methods behind it.
        unsafe {
            let inner = inner($file);
            match (*(*inner).pMethods).$method {
                Some(call) => call(inner $(, $argument)*),
                None => $without,
            }
        }
    };
}

unsafe extern "C" fn close(file: *mut ffi::sqlite3_file) -> c_int {
    let code = system!(file.xClose(), or ffi::SQLITE_OK);
    // SAFETY: closed once, and it was made when it was opened.
    unsafe {
        let path = std::mem::replace(&mut (*file.cast::<File>()).path, ptr::null_mut());
        if !path.is_null() {
            drop(Box::from_raw(path));
        }
    }
    code
}

unsafe extern "C" fn write(file: *mut ffi::sqlite3_file, from: *const c_void, amount: c_int, at: i64) -> c_int {
    // SAFETY: as SQLite calls it: `amount` bytes stand at `from`.
    let (path, new) = unsafe { (path_of(file), std::slice::from_raw_parts(from.cast::<u8>(), amount as usize)) };
    let Some(path) = path else { return system!(file.xWrite(from, amount, at), or ffi::SQLITE_IOERR) };
    if let Some(code) = DISKS.with_borrow_mut(|disks| disks.failing(path, true)) {
        return code;
    }
    let unsynced = before(file, at, u64::from(amount.unsigned_abs()), new.to_vec());
    let code = system!(file.xWrite(from, amount, at), or ffi::SQLITE_IOERR);
    if code == ffi::SQLITE_OK {
        DISKS.with_borrow_mut(|disks| disks.note(path, unsynced));
    }
    code
}

unsafe extern "C" fn truncate(file: *mut ffi::sqlite3_file, size: i64) -> c_int {
    // SAFETY: an open file.
    let Some(path) = (unsafe { path_of(file) }) else { return system!(file.xTruncate(size), or ffi::SQLITE_IOERR) };
    if let Some(code) = DISKS.with_borrow_mut(|disks| disks.failing(path, false)) {
        return code;
    }
    let code = system!(file.xTruncate(size), or ffi::SQLITE_IOERR);
    if code == ffi::SQLITE_OK {
        DISKS.with_borrow_mut(|disks| disks.cut(path, size.unsigned_abs()));
    }
    code
}

/// What stands from one place on, up to so many bytes, before it changes.
fn before(file: *mut ffi::sqlite3_file, at: i64, amount: u64, new: Vec<u8>) -> Unsynced {
    let mut size = 0;
    system!(file.xFileSize(&raw mut size), or ffi::SQLITE_OK);
    let there = size.saturating_sub(at).max(0).unsigned_abs().min(amount);
    let mut old = vec![0; there as usize];
    system!(file.xRead(old.as_mut_ptr().cast(), there as c_int, at), or ffi::SQLITE_OK);
    Unsynced { at: at.unsigned_abs(), size: size.unsigned_abs(), old, new }
}

unsafe extern "C" fn sync(file: *mut ffi::sqlite3_file, flags: c_int) -> c_int {
    // SAFETY: an open file.
    let Some(path) = (unsafe { path_of(file) }) else { return system!(file.xSync(flags), or ffi::SQLITE_OK) };
    if let Some(code) = DISKS.with_borrow_mut(|disks| disks.failing(path, false)) {
        return code;
    }
    let code = system!(file.xSync(flags), or ffi::SQLITE_OK);
    if code == ffi::SQLITE_OK {
        DISKS.with_borrow_mut(|disks| disks.unsynced.remove(path));
    }
    code
}

unsafe extern "C" fn read(file: *mut ffi::sqlite3_file, to: *mut c_void, amount: c_int, at: i64) -> c_int {
    system!(file.xRead(to, amount, at), or ffi::SQLITE_IOERR)
}

unsafe extern "C" fn file_size(file: *mut ffi::sqlite3_file, size: *mut i64) -> c_int {
    system!(file.xFileSize(size), or ffi::SQLITE_IOERR)
}

unsafe extern "C" fn lock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    system!(file.xLock(level), or ffi::SQLITE_OK)
}

unsafe extern "C" fn unlock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    system!(file.xUnlock(level), or ffi::SQLITE_OK)
}

unsafe extern "C" fn check_reserved_lock(file: *mut ffi::sqlite3_file, held: *mut c_int) -> c_int {
    system!(file.xCheckReservedLock(held), or ffi::SQLITE_OK)
}

unsafe extern "C" fn file_control(file: *mut ffi::sqlite3_file, what: c_int, with: *mut c_void) -> c_int {
    system!(file.xFileControl(what, with), or ffi::SQLITE_NOTFOUND)
}

unsafe extern "C" fn sector_size(file: *mut ffi::sqlite3_file) -> c_int {
    system!(file.xSectorSize(), or 4096)
}

unsafe extern "C" fn device_characteristics(file: *mut ffi::sqlite3_file) -> c_int {
    system!(file.xDeviceCharacteristics(), or 0)
}

unsafe extern "C" fn shm_map(
    file: *mut ffi::sqlite3_file,
    page: c_int,
    size: c_int,
    extend: c_int,
    at: *mut *mut c_void,
) -> c_int {
    system!(file.xShmMap(page, size, extend, at), or ffi::SQLITE_IOERR)
}

unsafe extern "C" fn shm_lock(file: *mut ffi::sqlite3_file, offset: c_int, n: c_int, flags: c_int) -> c_int {
    system!(file.xShmLock(offset, n, flags), or ffi::SQLITE_IOERR)
}

unsafe extern "C" fn shm_barrier(file: *mut ffi::sqlite3_file) {
    system!(file.xShmBarrier(), or());
}

unsafe extern "C" fn shm_unmap(file: *mut ffi::sqlite3_file, delete: c_int) -> c_int {
    system!(file.xShmUnmap(delete), or ffi::SQLITE_OK)
}
