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

    /// Makes a notebook in `folder` and has it certified as a scout's, by files.
    func newPhone(in folder: String, label: String, secrets: MemorySecrets = MemorySecrets()) throws -> FieldNotebook {
        let notebook = try FieldNotebook.create(path: folder, secrets: secrets)
        let (request, answer) = (folder + ".request", folder + ".answer")
        try notebook.enrolmentRequest().write(to: URL(fileURLWithPath: request))
        try run([
            "office", "add-device", office, "--request", request, "--role", "scout", "--label", label, "--out", answer,
        ])
        try notebook.enrol(answer: Data(contentsOf: URL(fileURLWithPath: answer)))
        return notebook
    }

    /// The text of an invitation.
    func invite(_ label: String) throws -> String {
        try told("invitation", ["office", "invite", office, "--role", "scout", "--label", label])
    }

    /// The text of the answer to a phone whose words were compared.
    func admit(_ ask: String) throws -> String {
        try told("answer", ["office", "admit", office, ask, "--yes"])
    }

    /// The code with which the desk refuses to admit a phone.
    func refusesToAdmit(_ ask: String) throws -> String {
        try told("code", ["office", "admit", office, ask, "--yes"], ending: 1)
    }

    /// The words of a phone that asks, as the desk sees them: in English, in Spanish.
    func words(of label: String) throws -> [String] {
        let waiting = try objects(["office", "waiting", office]).first { $0["label"] as? String == label }
        return ["words", "words_es"].compactMap { waiting?[$0] as? String }
    }

    /// Erases a record's words.
    func erase(_ record: String) throws {
        try run(["office", "erase", office, record, "--yes"])
    }

    func takeIn(_ bundle: String) throws {
        try run(["bundle", "take-in", "--office", office, bundle])
    }

    /// The code under which the desk keeps a bundle that it does not take in.
    func keepsBack(_ bundle: String) throws -> String {
        try told("code", ["bundle", "take-in", "--office", office, bundle], ending: 1)
    }

    func reply(to label: String, out: String) throws {
        try run(["bundle", "reply", "--office", office, "--device", label, "--out", out])
    }

    /// Backs the office up on another machine, so that what it holds is safe.
    func backUp(to out: String) throws {
        try run(["office", "backup", office, "--out", out, "--off-machine"])
    }

    /// Takes in the backup of a phone that is lost.
    func takeBackup(_ backup: String) throws {
        try run(["office", "take-backup", office, backup])
    }

    /// The records that the office holds.
    func records() throws -> Set<RecordId> {
        let rows = try objects(["notebook", "list", office + "/notebook", "--limit", "1000"])
        return Set(rows.compactMap { $0["id"] as? String })
    }

    private func told(_ key: String, _ arguments: [String], ending: Int32 = 0) throws -> String {
        try #require(objects(arguments, ending: ending).compactMap { $0[key] as? String }.first)
    }

    private func objects(_ arguments: [String], ending: Int32 = 0) throws -> [[String: Any]] {
        try run(["--json"] + arguments, ending: ending).split(separator: "\n").filter { $0.hasPrefix("{") }.compactMap {
            try JSONSerialization.jsonObject(with: Data($0.utf8)) as? [String: Any]
        }
    }

    @discardableResult
    private func run(_ arguments: [String], ending: Int32 = 0) throws -> String {
        let process = Process()
        process.executableURL = Places.command
        process.arguments = arguments
        let pipe = Pipe()
        process.standardOutput = pipe
        process.standardError = pipe
        try process.run()
        let said = String(decoding: pipe.fileHandleForReading.readDataToEndOfFile(), as: UTF8.self)
        process.waitUntilExit()
        try #require(process.terminationStatus == ending, "\(arguments.joined(separator: " ")): \(said)")
        return said
    }
}
