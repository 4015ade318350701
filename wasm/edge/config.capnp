# The edge worker on the plain runtime, for the test: workerd serve config.capnp
using Workerd = import "/workerd/workerd.capnp";

const config :Workerd.Config = (
  services = [(name = "main", worker = .edge)],
  sockets = [(name = "http", address = "127.0.0.1:0", http = (), service = "main")],
);

const edge :Workerd.Worker = (
  compatibilityDate = "2026-01-01",
  modules = [
    (name = "worker.mjs", esModule = embed "worker.mjs"),
    (name = "runtime.mjs", esModule = embed "runtime.mjs"),
    (name = "wasm_exec.js", esModule = embed "wasm_exec.js"),
    (name = "app.wasm", wasm = embed "app.wasm"),
  ],
);
