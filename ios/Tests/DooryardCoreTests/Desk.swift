import DooryardCore
import Foundation
import Testing

/// Places that the tests are told, or that stand in the clone after `cargo build`.
enum Places {
    static let root = URL(fileURLWithPath: #filePath)
        .deletingLastPathComponent().deletingLastPathComponent().deletingLastPathComponent().deletingLastPathComponent()

    /// A real photo with the time, place and direction that a camera writes.
    static let leafPhoto = root.appendingPathComponent("fixtures/phones/leaf.jpg")

    /// Bundles and replies whose outcome is written down.
    static let golden = root.appendingPathComponent("fixtures/bundles")

    /// Where the phones' tests leave what the office takes in afterwards.
    static let phones = told("DOORYARD_PHONES_DIR", or: "target/phones")

    static let command = told("DOORYARD_COMMAND", or: "target/debug/dooryard")

    private static func told(_ name: String, or place: String) -> URL {
        ProcessInfo.processInfo.environment[name].map { URL(fileURLWithPath: $0) } ?? root.appendingPathComponent(place)
    }
}

/// A folder that is gone with the test.
final class Folder {
    let url: URL

    init() throws {
        url = FileManager.default.temporaryDirectory.appendingPathComponent("dooryard-\(UUID().uuidString)")
        try FileManager.default.createDirectory(at: url, withIntermediateDirectories: true)
    }

    deinit {
        try? FileManager.default.removeItem(at: url)
    }

    func path(_ name: String) -> String { url.appendingPathComponent(name).path }
}

/// A county office, run by its command as a person at the desk runs it.
struct Desk {
    let office: String

    init(office: String) throws {
        self.office = office
        if !FileManager.default.fileExists(atPath: office) {
            try run(["office", "new", office, "--name", "Larkspur County"])
        }
    }

    /// Makes a notebook in `folder` and has it certified as a scout's.
    func newPhone(in folder: String, label: String) throws -> FieldNotebook {
        let notebook = try FieldNotebook.create(path: folder)
        let (request, answer) = (folder + ".request", folder + ".answer")
        try notebook.enrolmentRequest().write(to: URL(fileURLWithPath: request))
        try run([
            "office", "add-device", office, "--request", request, "--role", "scout", "--label", label, "--out", answer,
        ])
        try notebook.enrol(answer: Data(contentsOf: URL(fileURLWithPath: answer)))
        return notebook
    }

    func takeIn(_ bundle: String) throws {
        try run(["bundle", "take-in", "--office", office, bundle])
    }

    func reply(to label: String, out: String) throws {
        try run(["bundle", "reply", "--office", office, "--device", label, "--out", out])
    }

    private func run(_ arguments: [String]) throws {
        let process = Process()
        process.executableURL = Places.command
        process.arguments = arguments
        let pipe = Pipe()
        process.standardOutput = pipe
        process.standardError = pipe
        try process.run()
        let said = String(decoding: pipe.fileHandleForReading.readDataToEndOfFile(), as: UTF8.self)
        process.waitUntilExit()
        try #require(process.terminationStatus == 0, "\(arguments.joined(separator: " ")): \(said)")
    }
}
