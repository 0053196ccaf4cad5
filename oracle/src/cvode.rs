//! CVODE with the sparse solver KLU: the usual general tool for such systems, as a peer for speed and a second oracle.
//!
//! Declares the dozen C functions it needs of SUNDIALS 6 with 64-bit indices and double precision, as Debian builds it.
#![allow(unsafe_code, reason = "calls a C library")]

use crate::error::OracleError;
use crate::jacobian::SparseMatrix;
use crate::system::{Span, System};
use std::ffi::{c_int, c_long, c_void};
use std::ptr;

type Handle = *mut c_void;

#[link(name = "sundials_cvode")]
unsafe extern "C" {
    fn CVodeCreate(method: c_int, context: Handle) -> Handle;
    fn CVodeInit(memory: Handle, rate: RateFn, t: f64, start: Handle) -> c_int;
    fn CVodeSStolerances(memory: Handle, relative: f64, absolute: f64) -> c_int;
    fn CVodeSetUserData(memory: Handle, data: Handle) -> c_int;
    fn CVodeSetLinearSolver(memory: Handle, solver: Handle, matrix: Handle) -> c_int;
    fn CVodeSetJacFn(memory: Handle, jacobian: JacobianFn) -> c_int;
    fn CVodeSetMaxNumSteps(memory: Handle, most: c_long) -> c_int;
    fn CVodeSetStopTime(memory: Handle, t: f64) -> c_int;
    fn CVode(memory: Handle, until: f64, out: Handle, reached: *mut f64, task: c_int) -> c_int;
    fn CVodeGetNumSteps(memory: Handle, steps: *mut c_long) -> c_int;
    fn CVodeGetNumLinSolvSetups(memory: Handle, setups: *mut c_long) -> c_int;
    fn CVodeFree(memory: *mut Handle);
    fn SUNContext_Create(communicator: Handle, context: *mut Handle) -> c_int;
    fn SUNContext_Free(context: *mut Handle) -> c_int;
}
#[link(name = "sundials_nvecserial")]
unsafe extern "C" {
    fn N_VNew_Serial(length: i64, context: Handle) -> Handle;
    fn N_VGetArrayPointer_Serial(vector: Handle) -> *mut f64;
    fn N_VDestroy_Serial(vector: Handle);
}
#[link(name = "sundials_sunmatrixsparse")]
unsafe extern "C" {
    fn SUNSparseMatrix(rows: i64, columns: i64, entries: i64, kind: c_int, context: Handle) -> Handle;
    fn SUNSparseMatrix_Data(matrix: Handle) -> *mut f64;
    fn SUNSparseMatrix_IndexValues(matrix: Handle) -> *mut i64;
    fn SUNSparseMatrix_IndexPointers(matrix: Handle) -> *mut i64;
    fn SUNMatDestroy_Sparse(matrix: Handle);
}
#[link(name = "sundials_sunlinsolklu")]
unsafe extern "C" {
    fn SUNLinSol_KLU(vector: Handle, matrix: Handle, context: Handle) -> Handle;
    fn SUNLinSolFree_KLU(solver: Handle) -> c_int;
}

type RateFn = extern "C" fn(f64, Handle, Handle, Handle) -> c_int;
type JacobianFn = extern "C" fn(f64, Handle, Handle, Handle, Handle, Handle, Handle, Handle) -> c_int;

const BDF: c_int = 2;
const NORMAL: c_int = 1;
const COMPRESSED_COLUMNS: c_int = 0;
const MOST_STEPS: c_long = 1_000_000;

extern "C" fn rate(_t: f64, u: Handle, du: Handle, data: Handle) -> c_int {
    // SAFETY: CVODE passes vectors of the length it was made with, and the system lent to it by `advance`.
    unsafe {
        let system = &mut *data.cast::<System>();
        let n = system.len();
        let u = std::slice::from_raw_parts(N_VGetArrayPointer_Serial(u), n);
        let du = std::slice::from_raw_parts_mut(N_VGetArrayPointer_Serial(du), n);
        system.rate(u, du);
    }
    0
}

extern "C" fn jacobian(
    _t: f64,
    u: Handle,
    _du: Handle,
    matrix: Handle,
    data: Handle,
    _: Handle,
    _: Handle,
    _: Handle,
) -> c_int {
    // SAFETY: as in `rate`; the matrix was made with room for as many entries as the pattern has.
    unsafe {
        let system = &mut *data.cast::<System>();
        let u = std::slice::from_raw_parts(N_VGetArrayPointer_Serial(u), system.len());
        copy_matrix(system.jacobian(u), matrix);
    }
    0
}

/// # Safety
/// `to` must be a sparse matrix with room for all entries of `from`.
unsafe fn copy_matrix(from: &SparseMatrix, to: Handle) {
    // SAFETY: the caller's promise.
    unsafe {
        let (starts, rows) = (SUNSparseMatrix_IndexPointers(to), SUNSparseMatrix_IndexValues(to));
        for (i, start) in from.starts.iter().enumerate() {
            *starts.add(i) = *start as i64;
        }
        for (i, row) in from.rows.iter().enumerate() {
            *rows.add(i) = *row as i64;
        }
        ptr::copy_nonoverlapping(from.values.as_ptr(), SUNSparseMatrix_Data(to), from.values.len());
    }
}

/// What a solve owns on the C side; freed in `drop`.
struct Owned {
    context: Handle,
    memory: Handle,
    vector: Handle,
    matrix: Handle,
    solver: Handle,
}

impl Drop for Owned {
    fn drop(&mut self) {
        // SAFETY: each was made by the matching constructor and is freed once.
        unsafe {
            CVodeFree(&raw mut self.memory);
            SUNLinSolFree_KLU(self.solver);
            SUNMatDestroy_Sparse(self.matrix);
            N_VDestroy_Serial(self.vector);
            SUNContext_Free(&raw mut self.context);
        }
    }
}

fn checked(call: &'static str, code: c_int, at_s: f64) -> Result<(), OracleError> {
    if code < 0 { Err(OracleError::Cvode { call, code: code.into(), at_s }) } else { Ok(()) }
}

impl Owned {
    fn new(system: &mut System, length_s: f64, tolerance_k: f64, at_s: f64) -> Result<Self, OracleError> {
        let (n, start) = (system.len() as i64, system.unknowns());
        let entries = system.matrix().values.len() as i64;
        // SAFETY: handles are made in the order the library wants and used only while they live.
        unsafe {
            let mut context = ptr::null_mut();
            let code = SUNContext_Create(ptr::null_mut(), &raw mut context);
            checked("SUNContext_Create", code, at_s)?;
            let vector = N_VNew_Serial(n, context);
            let matrix = SUNSparseMatrix(n, n, entries, COMPRESSED_COLUMNS, context);
            copy_matrix(system.matrix(), matrix);
            let solver = SUNLinSol_KLU(vector, matrix, context);
            let memory = CVodeCreate(BDF, context);
            let owned = Self { context, memory, vector, matrix, solver };
            if [vector, matrix, solver, memory].iter().any(|h| h.is_null()) {
                return Err(OracleError::Cvode { call: "set-up", code: -1, at_s });
            }
            ptr::copy_nonoverlapping(start.as_ptr(), N_VGetArrayPointer_Serial(vector), start.len());
            checked("CVodeInit", CVodeInit(memory, rate, 0.0, vector), at_s)?;
            checked("CVodeSStolerances", CVodeSStolerances(memory, 1e-3 * tolerance_k.min(1e-4), tolerance_k), at_s)?;
            checked("CVodeSetLinearSolver", CVodeSetLinearSolver(memory, solver, matrix), at_s)?;
            checked("CVodeSetJacFn", CVodeSetJacFn(memory, jacobian), at_s)?;
            checked("CVodeSetMaxNumSteps", CVodeSetMaxNumSteps(memory, MOST_STEPS), at_s)?;
            checked("CVodeSetStopTime", CVodeSetStopTime(memory, length_s), at_s)?;
            Ok(owned)
        }
    }

    fn advance(&self, system: &mut System, until_s: f64, at_s: f64) -> Result<Vec<f64>, OracleError> {
        let (mut reached, n) = (0.0, system.len());
        // SAFETY: all handles live; the vector has `n` entries; `system` is lent to the callbacks for this call alone.
        unsafe {
            checked("CVodeSetUserData", CVodeSetUserData(self.memory, ptr::from_mut(system).cast()), at_s)?;
            checked("CVode", CVode(self.memory, until_s, self.vector, &raw mut reached, NORMAL), at_s)?;
            Ok(std::slice::from_raw_parts(N_VGetArrayPointer_Serial(self.vector), n).to_vec())
        }
    }

    fn counts(&self) -> (usize, usize) {
        let (mut steps, mut setups) = (0, 0);
        // SAFETY: the memory lives and both are plain counters.
        unsafe {
            CVodeGetNumSteps(self.memory, &raw mut steps);
            CVodeGetNumLinSolvSetups(self.memory, &raw mut setups);
        }
        (usize::try_from(steps).unwrap_or(0), usize::try_from(setups).unwrap_or(0))
    }
}

/// Integrates a system over a span with an absolute tolerance in every unknown.
///
/// # Errors
/// When the library gives up.
pub fn integrate(
    system: &mut System,
    span: Span<'_>,
    report: &mut dyn FnMut(&mut System, &[f64]),
    tolerance_k: f64,
) -> Result<Vec<f64>, OracleError> {
    let length_s = span.to_s - span.from_s;
    let owned = Owned::new(system, length_s, tolerance_k, span.from_s)?;
    let mut last = None;
    for wanted in span.wanted_s {
        let u = owned.advance(system, wanted - span.from_s, *wanted)?;
        report(system, &u);
        last = (*wanted >= span.to_s).then_some(u);
    }
    let last = match last {
        Some(u) => u,
        None => owned.advance(system, length_s, span.to_s)?,
    };
    let (steps, factorisations) = owned.counts();
    system.count.steps += steps;
    system.count.factorisations += factorisations;
    Ok(last)
}
