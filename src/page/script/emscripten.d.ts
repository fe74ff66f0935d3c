/** What em++ makes of the engine. */
declare function lampbeatEngine(settings: object): Promise<any>;
